// The answer sheet as a file and on paper: tables and JSON out and in, a blank sheet to print.
import { saveAttempt } from './attempt-file.js';
import { chooser } from './chooser.js';
import { html, ownId, say, set } from './element.js';
import { button } from './fields.js';
import { REFUSED } from './link.js';
import { refusal } from './refusal.js';
import { save } from './save.js';
import { text } from './text.js';

/** Rows of a blank sheet. */
const ROWS = 12;

export function sheetFiles(session) {
  const words = html('p', { role: 'alert', class: 'sheet-told' });
  const plate = () => session.about.id;
  const open = chooser(ownId('answers-file'), 'sheet.files.open', { accept: '.csv,.json,text/csv,application/json' }, async ([file]) => {
    try {
      // More than the largest file allowed is not worth reading: the simulation says what the limit is.
      await session.takeAnswers(file.name, new Uint8Array(await file.slice(0, 1_100_000).arrayBuffer()));
      tell('taken', text('sheet.files.taken', { name: file.name, count: session.sheet.calls.length }));
    } catch (error) {
      if (error.name !== REFUSED) throw error;
      tell('refused', text('sheet.files.refused', { why: refusal(error.message) }));
    }
  });
  const element = html('details', { class: 'sheet-files' }, html('summary', {}, text('sheet.files')),
    html('p', { class: 'quiet' }, text('sheet.files.words')),
    html('div', { class: 'row' },
      button({ label: 'sheet.files.csv', press: async () => save(`${plate()}-answers.csv`, await session.answersTable(), 'text/csv') }),
      button({ label: 'sheet.files.json', press: async () => save(`${plate()}-answers.json`, await session.answers()) }),
      button({ label: 'sheet.files.blank', press: async () => save(`${plate()}-blank-sheet.html`, await session.blankSheet(ROWS), 'text/html') })),
    open.element, html('div', { class: 'row' }, button({ label: 'kept.file', press: () => saveAttempt(session) })), words);

  function tell(outcome, sentence) {
    set(words, { class: `sheet-told ${outcome}` });
    say(words, sentence);
    if (sentence) words.scrollIntoView({ block: 'nearest' });
  }
  session.addEventListener('open', () => tell('', ''));

  return { element, update: () => set(open.input, { disabled: Boolean(session.handed_in) }) };
}
