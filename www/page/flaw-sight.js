// What a flaw shows at best, what this session had of it, and the same flaw from both sides.
import { html } from './element.js';
import { sentence } from './said.js';
import { drawn } from './svg-text.js';
import { clock, number, signed, text } from './text.js';

/** Best and had side by side in numbers, or null where nothing was computed. */
export function sightTable({ flaw, possible, seen }) {
  const best = possible.reduce((one, other) => (one && one.amplitude_db >= other.amplitude_db ? one : other), null);
  if (!best) return null;
  const rows = [
    ['sight.height', ({ amplitude_db }) => text('db', { value: signed(amplitude_db) })],
    ['sight.from', ({ side, leg }) => text('desk.from.words', { side, leg: text(`leg.${leg}`) })],
    ['sight.beam', ({ angle_deg }) => `${number(angle_deg, 1)}°`],
    ['sight.probe', ({ index_offset_mm, y_mm }) => text('desk.stand.words', { offset_mm: index_offset_mm, y_mm })],
    ['sight.when', ({ t_ms }) => (t_ms === undefined ? '' : clock(t_ms))],
  ];
  return html('table', { class: 'parts sight' },
    html('caption', { class: 'unseen' }, text('sight.caption', { n: flaw })),
    html('thead', {}, html('tr', {}, html('td', {}), ['sight.best', 'sight.had'].map((label) => html('th', { scope: 'col' }, text(label))))),
    html('tbody', {}, rows.map(([label, words]) => html('tr', {}, html('th', { scope: 'row' }, text(label)),
      html('td', {}, words(best)), html('td', {}, seen ? words(seen) : label === 'sight.height' ? text('sight.nothing') : '–')))));
}

/** The flaw from each side at its best, to fold out, with the reason in sentences; null where only one side hears it. */
export function bothSides(session, { flaw, possible, sentences }) {
  if (possible.length < 2) return null;
  const room = html('div', { class: 'shot both-sides' });
  let asked = false;
  const element = html('details', { class: 'shot-of-call no-print', ontoggle: show }, html('summary', {}, text('sight.sides', { n: flaw })), room,
    html('ul', { class: 'sentences' }, sentences.map((one) => html('li', {}, sentence(one)))));

  async function show() {
    if (!element.open || asked) return;
    asked = true;
    room.replaceChildren(html('p', { class: 'quiet' }, text('shot.wait')));
    const figures = await session.flawSides(flaw).catch(() => []);
    room.replaceChildren(...figures.map((figure, i) => html('figure', {}, html('figcaption', {}, text('sight.side', {
      side: possible[i].side, db: signed(possible[i].amplitude_db) })), drawn(figure))));
  }

  return element;
}
