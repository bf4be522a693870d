// Marking a class: the plate, many hand-ins, a table and what the class found.
import { EXAM } from '../shared/messages.js';
import { bytesOf, chooser } from './chooser.js';
import { html, say, set } from './element.js';
import { clear, reasonItem } from './failure.js';
import { button, selectField } from './fields.js';
import { reportButtons } from './reports.js';
import { mark, sentence } from './said.js';
import { save } from './save.js';
import { isSealed, secret } from './seal.js';
import { clock, number, text } from './text.js';
import { kindNamed } from './told.js';

export function markingDeskView(link) {
  let plate = null;
  let run = 0;
  const passphrase = secret('mark.passphrase');
  passphrase.field.hidden = true;
  const chosen = html('p', { class: 'quiet', role: 'status' });
  const plateInput = chooser('mark-plate', 'mark.plate', { accept: '.toml,.json,text/plain' }, async ([file]) => {
    plate = { name: file.name, bytes: await bytesOf(file) };
    passphrase.field.hidden = !isSealed(plate);
    say(chosen, text(isSealed(plate) ? 'mark.plate.sealed' : 'mark.plate.open', { name: file.name }));
    set(works.input, { disabled: false });
  });
  const works = chooser('mark-works', 'mark.works', { accept: '.json', multiple: true, disabled: true }, mark);
  const bar = html('progress', { max: 1, value: 0, 'aria-labelledby': 'mark-progress' });
  const words = html('p', { id: 'mark-progress', role: 'status' });
  const progress = html('div', { class: 'desk-progress', hidden: true }, words, bar,
    button({ label: 'desk.stop', press: () => { run++; progress.hidden = true; } }));
  const result = html('div', { class: 'desk-result' });
  const element = html('div', { class: 'desk' }, html('h1', { tabindex: -1 }, text('mark.title')),
    html('p', { class: 'lead' }, text('mark.lead')),
    html('section', { class: 'card desk-ask', 'aria-label': text('mark.files') },
      html('div', { class: 'row' }, plateInput.element), chosen, passphrase.field, html('div', { class: 'row' }, works.element)),
    progress, result, html('p', { class: 'caution' }, text('caution.long')));

  async function mark(files) {
    const mine = ++run;
    clear();
    const [rows, refused, signed] = [[], [], []];
    progress.hidden = false;
    bar.value = 0;
    say(words, text('mark.scanning'));
    result.replaceChildren();
    try {
      await link.exam(EXAM.CLASS, { ...plate, passphrase: passphrase.input.value });
      for (const [i, file] of files.entries()) {
        if (mine !== run) return;
        try {
          const row = await link.exam(EXAM.WORK, { name: file.name, bytes: await bytesOf(file) });
          rows.push(row);
          // What came without a log is an answer sheet alone.
          if (row.used_ms !== null) signed.push(file);
        } catch (error) {
          refused.push(error.message);
        }
        bar.value = (i + 1) / files.length;
        say(words, text('mark.marked', { done: i + 1, all: files.length }));
      }
      const { class: told, table } = await link.exam(EXAM.CLASS_TOLD);
      if (mine !== run) return;
      result.replaceChildren(...shown(told, rows, refused, table), signed.length ? oneReport(link, signed) : '');
      result.querySelector('h2').focus();
    } finally {
      if (mine === run) progress.hidden = true;
    }
  }

  return { element, update() {} };
}

function shown(told, rows, refused, table) {
  const [low, , middle, , high] = told.quartiles_percent.map(mark);
  const sorted = [...rows].sort((a, b) => b.mark_percent - a.mark_percent);
  return [
    html('section', { class: 'card', 'aria-labelledby': 'mark-class' }, html('h2', { id: 'mark-class', tabindex: -1 }, text('mark.class')),
      html('p', {}, text('mark.overview', { count: told.count, passed: told.passed, low, middle, high, wrong: number(told.false_calls) })),
      html('div', { class: 'row no-print' }, button({ label: 'mark.save', class: 'main', press: () => save('class.csv', table, 'text/csv') }),
        button({ label: 'debrief.print', press: () => print() }))),
    refused.length ? html('section', { class: 'card' }, html('h2', {}, text('mark.refused')), html('p', { class: 'quiet' }, text('mark.refused.words')),
      html('ul', {}, refused.map((why) => reasonItem(why)))) : '',
    tableOf('mark.everybody', ['mark.file', 'mark.name', 'mark.mark', 'mark.found', 'mark.wrong', 'mark.used', 'mark.remark'], sorted.map((row) => [row.file, row.sitter,
      `${mark(row.mark_percent)}, ${text(row.passed ? 'debrief.passed' : 'debrief.failed')}`, text('debrief.of', { got: row.found, of: row.flaws }), row.wrong,
      row.used_ms === null ? '–' : clock(row.used_ms), row.remarks.map(sentence).join('. ')])),
    tableOf('mark.flaws', ['desk.flaw', 'mark.found', 'mark.bounds', 'mark.points'], told.flaws.map((flaw) => [
      text('desk.flaw.words', { n: flaw.flaw, kind: kindNamed(flaw.kind).toLowerCase(), from_mm: flaw.along_mm[0], to_mm: flaw.along_mm[1] }),
      text('debrief.of', { got: flaw.found, of: flaw.of }), text('mark.bounds.value', { low: number(flaw.bounds_percent[0], 0), high: number(flaw.bounds_percent[1], 0) }),
      flaw.points_percent === null ? '–' : text('lesson.now.percent', { value: number(flaw.points_percent, 0) })])),
    tableOf('mark.kinds', ['mark.was', 'mark.called', 'mark.times'], told.confusion.map((row) => [kindNamed(row.kind), kindNamed(row.called), row.count])),
    told.alike.length ? alikeTable(told) : '',
  ];
}

/** Files that share values because of which somebody should look, a row for each reason. */
function alikeTable({ alike, alike_left_out: count }) {
  const words = [text('mark.alike.words'), count ? text('mark.alike.left_out', { count }) : ''].join(' ');
  return tableOf('mark.alike', ['mark.pair', 'mark.equal'], alike.map(({ files, each, equal }) => [text('mark.alike.files', { count: files.length, files: files.join(' · ') }),
    each < equal ? text('mark.equal.each', { each, equal }) : equal]), words);
}

/** Reports on one of the hand-ins. */
function oneReport(link, files) {
  const work = selectField({ label: 'report.work', options: files.map(({ name }, i) => [String(i), name]), put: () => {} });
  const chosen = () => files[Number(work.input.value)];
  const report = async (reader) => link.exam(EXAM.WORK_REPORT, { name: chosen().name, bytes: await bytesOf(chosen()), reader });
  return html('section', { class: 'card no-print', 'aria-labelledby': 'report-class' }, html('h2', { id: 'report-class' }, text('report.class')),
    html('p', { class: 'quiet' }, text('report.words')), work.element, reportButtons({ name: () => chosen().name.replace(/\.json$/i, ''), report }));
}

function tableOf(title, heads, rows, words = null) {
  return html('section', { class: 'card' }, html('h2', {}, text(title)), words ? html('p', { class: 'quiet' }, words) : null,
    html('div', { class: 'table-room', tabindex: 0, role: 'group', 'aria-label': text(title) },
      html('table', { class: 'parts' }, html('thead', {}, html('tr', {}, heads.map((head) => html('th', { scope: 'col' }, text(head))))),
        html('tbody', {}, rows.map(([first, ...rest]) => html('tr', {}, html('th', { scope: 'row' }, String(first)), rest.map((cell) => html('td', {}, String(cell)))))))));
}
