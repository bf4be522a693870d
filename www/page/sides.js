// The side of the weld the probe stands on, and how much of the weld each side has seen.
import { html, say, set } from './element.js';
import { button } from './fields.js';
import { text } from './text.js';

/** Here the sides stand beside each other. */
const beside = matchMedia('(max-width: 40rem)');

export function sidesView(session) {
  const choices = ['B', 'A'].map((side) => {
    const stand = button({ label: 'side.name', values: { side }, press: () => session.move({ side }) });
    const percent = html('span', { class: 'side-percent' });
    const bar = html('span', { class: `side-bar scanned-bar-${side.toLowerCase()}` });
    const element = html('div', { class: 'side-choice' }, stand, percent, html('span', { class: 'side-track' }, bar));
    return { side, element, stand, percent, bar };
  });
  const of = Object.fromEntries(choices.map(({ side, element: one }) => [side, one]));
  const element = html('div', { class: 'sides', role: 'group', 'aria-label': text('hands.side') }, choices.map((choice) => choice.element));

  /** As they are seen, so do the keys find them: above each other as on the drawing of the plate, else A at the left. */
  function order() {
    const first = beside.matches || session.about.block ? 'A' : 'B';
    if (element.firstChild !== of[first]) element.prepend(of[first]);
  }
  beside.addEventListener('change', () => session.open && order());
  session.addEventListener('open', order);

  function update() {
    for (const { side, stand, percent, bar } of choices) {
      const part = session.examined.percent(side);
      const quiet = session.examined.met(side) - part;
      set(stand, { 'aria-pressed': String(session.pose.side === side) });
      say(percent, text(quiet > 0 ? 'side.quiet' : 'side.scanned', { percent: part, quiet }));
      bar.style.width = `${part}%`;
    }
  }
  return { element, update };
}
