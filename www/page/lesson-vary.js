// A flaw under the learner's hand: in some steps of some lessons a slider changes it while one looks.
import { ASK } from '../shared/messages.js';
import { html } from './element.js';
import { sliderField } from './fields.js';

/** What can be changed, with unit and step. */
const WHAT = { 'tilt-deg': ['unit.deg', 1], 'length-mm': ['unit.mm', 0.5] };

export function varyView(session, link) {
  const sliders = Object.entries(WHAT).map(([what, [unit, step]]) => [what, sliderField({ label: `lesson.vary.${what}`, unit, step, decimals: step < 1 ? 1 : 0, put })]);
  const element = html('div', { class: 'lesson-vary' }, sliders.map(([, slider]) => slider.element));
  let [open, value, wanted, busy] = [null, 0, null, false];

  /** Of several values waiting only the newest counts: the plate is laid anew for each. */
  async function put(next) {
    [value, wanted] = [Math.min(open.range[1], Math.max(open.range[0], next)), next];
    show();
    if (busy) return;
    busy = true;
    try {
      while (wanted !== null) {
        wanted = null;
        await link.ask(ASK.LESSON, { varied: value });
        session.change();
      }
    } finally {
      busy = false;
    }
  }

  function show() {
    for (const [what, slider] of sliders) {
      slider.element.hidden = what !== open?.what;
      if (what === open?.what) slider.show(value, ...open.range);
    }
  }

  return {
    element,
    /** As the step has it when it begins; without a step, or where nothing may be changed, there is no slider. */
    begin(vary) {
      open = vary && vary.range[0] < vary.range[1] ? vary : null;
      value = vary?.begin ?? 0;
      show();
    },
  };
}
