// The side of the weld the probe stands on, and how much of the weld each side has seen.
import { html, say, set } from './element.js';
import { text } from './text.js';

export function sidesView(session) {
  const choices = ['B', 'A'].map((side) => {
    const percent = html('span', { class: 'side-percent' });
    const bar = html('span', { class: `side-bar scanned-bar-${side.toLowerCase()}` });
    const element = html('button', { type: 'button', class: 'side-choice', onclick: () => session.move({ side }) },
      html('span', { class: 'side-label' }, text('side.name', { side })), percent, html('span', { class: 'side-track' }, bar));
    return { side, element, percent, bar };
  });
  const element = html('div', { class: 'sides', role: 'group', 'aria-label': text('hands.side') }, choices.map((choice) => choice.element));

  function update() {
    for (const { side, element: button, percent, bar } of choices) {
      const part = session.scanned.percent(side);
      set(button, { 'aria-pressed': String(session.pose.side === side) });
      say(percent, text('side.scanned', { percent: part }));
      bar.style.width = `${part}%`;
    }
  }
  return { element, update };
}
