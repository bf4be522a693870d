// Help: how to read the pictures, the words of the trade, what each control does, the keys. It stands beside the bench.
import { choicesView } from './choices.js';
import { show } from './dialog.js';
import { html } from './element.js';
import { readingPart } from './help-reading.js';
import { keyTable } from './keys.js';
import { text } from './text.js';
import { OWN_WORDS, WORDS } from './texts-glossary.en.js';

/** Labels of the controls that the list explains, by the part of the bench they stand in. */
const CONTROLS = {
  hand: ['hands.gain', 'hands.scanning_gain', 'hands.reference_gain', 'hands.over_reference', 'hands.beam', 'hands.y', 'hands.offset', 'hands.skew', 'hands.face',
    'hands.motion', 'hands.gate.start', 'hands.gate.length', 'hands.gate.threshold', 'gate.point', 'gate.second', 'hands.next_echo', 'hear.tone', 'hear.sweep'],
  picture: ['section.folded', 'section.unfolded', 'section.leg', 'memory.into', 'memory.clear'],
  call: ['sheet.call', 'call.kind', 'call.decision', 'call.start', 'call.start_here', 'call.end', 'call.end_here', 'call.offset', 'call.depth',
    'call.height', 'call.from_gate'],
  recording: ['record.run', 'record.hand', 'record.step', 'recorded.gain', 'recorded.threshold', 'recorded.call', 'sizing.tip.1', 'sizing.tip.2',
    'sizing.into.height', 'sizing.into.ends'],
};
const PARTS = ['read', 'words', 'controls', 'keys'];

/** `keep()` saves the session before the page is loaded anew. Opens the help, or closes it when it is open. It comes back at the part last looked at. */
export function helpFor(session, keep) {
  let last = 'read';
  return () => {
    const open = document.querySelector('dialog.help');
    if (open) return open.close();
    document.querySelector('dialog.drawer')?.close();
    const reading = readingPart(session);
    const rooms = { read: reading.element, words: wordsPart(), controls: controlsPart(), keys: html('div', {}, choicesView(keep), html('p', {}, text('help.words')), keyTable()) };
    const inputs = PARTS.map((part) => html('input', { type: 'radio', name: 'help-part', value: part, onchange: () => choose(part) }));
    const choice = html('fieldset', { class: 'choice' }, html('legend', { class: 'unseen' }, text('help.part')),
      PARTS.map((part, i) => html('label', {}, inputs[i], html('span', {}, text(`help.part.${part}`)))));
    function choose(part) {
      last = part;
      PARTS.forEach((one, i) => {
        inputs[i].checked = one === part;
        rooms[one].hidden = one !== part;
      });
      choice.closest('dialog')?.scrollTo(0, 0);
    }
    choose(last);
    const closed = show({ title: text('help.title'), content: [choice, ...Object.values(rooms)], drawer: true, style: 'help',
      buttons: [{ label: 'dialog.close', value: null }] });
    return closed.then(reading.stop);
  };
}

function wordsPart() {
  const rows = [...WORDS.map((word) => [word, false]), ...OWN_WORDS.map((word) => [word, true])]
    .map(([word, own]) => ({ name: text(`word.${word}`), is: text(`word.${word}.is`), own }))
    .sort((a, b) => a.name.localeCompare(b.name))
    .map(({ name, is, own }) => ({ sought: `${name} ${is}`.toLowerCase(), element: html('div', {}, html('dt', {}, name,
      own ? html('span', { class: 'quiet' }, ` (${text('words.own')})`) : null), html('dd', {}, is)) }));
  const none = html('p', { class: 'quiet', role: 'status' });
  const input = html('input', { type: 'text', id: 'find-word', autocomplete: 'off', oninput: () => {
    const sought = input.value.trim().toLowerCase();
    for (const row of rows) row.element.hidden = !row.sought.includes(sought);
    none.textContent = rows.every((row) => row.element.hidden) ? text('words.none') : '';
  } });
  return html('div', {}, html('div', { class: 'field' }, html('label', { for: 'find-word' }, text('words.find')), input), none,
    html('dl', { class: 'words' }, rows.map((row) => row.element)));
}

function controlsPart() {
  return html('div', {}, html('p', { class: 'quiet' }, text('controls.words')), Object.entries(CONTROLS).map(([part, labels]) => [
    html('h3', {}, text(`controls.${part}`)),
    html('dl', { class: 'words' }, labels.map((label) => html('div', {}, html('dt', {}, text(label)), html('dd', {}, text(`why.${label}`)))))]).flat());
}
