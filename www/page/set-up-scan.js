// The kind of scan and the fields that belong to it: many angles from one place, or one angle from many places.
import { html, say } from './element.js';
import { selectField } from './fields.js';
import { text } from './text.js';

/** `put(alter)` alters the draft, `field(label, unit, set, more)` makes a field that does, `sheet()` gives what there is to choose from. */
export function scanFields(put, field, sheet) {
  const whole = (value) => Math.max(0, Math.round(value));
  const count = { step: 1, decimals: 0 };
  const kind = selectField({ label: 'set_up.scan', options: ['sector', 'linear'].map((one) => [one, text(`set_up.scan.${one}`)]),
    put: (one) => put((draft) => turn(draft, one, sheet())) });
  const words = html('p', { class: 'quiet' });
  const from = field('set_up.from', 'unit.deg', ({ sector }, value) => { sector.from_deg = value; }, { step: 1 });
  const to = field('set_up.to', 'unit.deg', ({ sector }, value) => { sector.to_deg = value; }, { step: 1 });
  const step = field('set_up.step', 'unit.deg', ({ sector }, value) => { sector.step_deg = value; }, { step: 0.1 });
  const angle = field('set_up.angle', 'unit.deg', ({ sector }, value) => { sector.from_deg = sector.to_deg = value; }, { step: 1 });
  const first = field('set_up.first_element', null, ({ sector }, value) => { sector.first_element = whole(value); }, count);
  const last = field('set_up.last_element', null, ({ sector }, value) => { sector.linear.last_element = whole(value); }, count);
  const active = field('set_up.active_elements', null, ({ sector }, value) => { sector.active_elements = whole(value); }, count);
  const onward = field('set_up.step_elements', null, ({ sector }, value) => { sector.linear.step_elements = whole(value); }, count);

  return {
    content: [kind.element, words, html('div', { class: 'trio' },
      [from, to, step, angle, first, last, active, onward].map((one) => one.element))],
    show(sector) {
      const { linear } = sector;
      kind.show(linear ? 'linear' : 'sector');
      say(words, text(linear ? 'set_up.scan.linear.words' : 'set_up.scan.sector.words'));
      for (const one of [from, to, step]) one.element.hidden = Boolean(linear);
      for (const one of [angle, last, onward]) one.element.hidden = !linear;
      for (const [one, value] of [[from, sector.from_deg], [to, sector.to_deg], [step, sector.step_deg], [angle, sector.from_deg],
        [first, sector.first_element], [active, sector.active_elements], [last, linear?.last_element], [onward, linear?.step_elements]]) one.show(value);
    },
  };
}

/** The beams that the probe in the draft begins with in a kind of scan; they are focused as before. */
export function turn(draft, kind, sheet) {
  const { focus_path_mm, focus_depth_mm } = draft.sector;
  draft.sector = { ...structuredClone(kindsOf(draft.probe, sheet)[kind]), focus_path_mm, focus_depth_mm };
}

function kindsOf(probe, { prescribed, kinds, store, store_kinds }) {
  if (sameProbe(probe, prescribed.probe)) return kinds;
  return store_kinds[store.findIndex((choice) => sameProbe(probe, choice.probe))] ?? kinds;
}

/** Whether two are one probe on one wedge, worn or not. */
export const sameProbe = (one, other) => ['name', 'first_element_to_front_mm', 'wedge_length_mm'].every((part) => one[part] === other[part]);
