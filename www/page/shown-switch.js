// Live pictures or the recorded scan: a choice on the drawing of the plate, once something is recorded.
import { html } from './element.js';
import { text } from './text.js';

/** `sets` are the views of each choice, by name; `changed()` follows another choice. */
export function shownSwitch(session, recording, plan, sets, changed) {
  let chosen = 'live';
  const inputs = Object.keys(sets).map((name) => html('input', { type: 'radio', name: 'shown', value: name, onchange: () => show(name) }));
  const element = html('fieldset', { class: 'choice shown-choice', hidden: true }, html('legend', { class: 'unseen' }, text('bench.shown')),
    inputs.map((input) => html('label', {}, input, html('span', {}, text(`bench.${input.value}`)))));
  plan.querySelector('header').append(element);

  function show(name) {
    if (name === 'recorded' && !recording.any && !recording.busy) name = 'live';
    chosen = name;
    for (const input of inputs) input.checked = input.value === name;
    for (const [other, views] of Object.entries(sets)) for (const view of views) view.element.hidden = other !== name;
    if (session.open) for (const view of sets[name]) view.update();
    changed();
  }

  recording.addEventListener('change', () => {
    element.hidden = !recording.any && !recording.busy;
    if (element.hidden && chosen !== 'live') show('live');
  });
  show('live');
  return {
    show,
    get now() { return chosen; },
    /** The other choice, and which it is now. */
    other() {
      show(chosen === 'live' ? 'recorded' : 'live');
      return chosen;
    },
  };
}
