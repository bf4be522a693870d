// The kind of scan and the fields that belong to it: many angles from one place, or one angle from many places.
import { html, say } from './element.js';
import { selectField } from './fields.js';
import { text } from './text.js';

const RAD = Math.PI / 180;
/** Elements of a linear scan's aperture, and by how many it moves on, unless somebody says otherwise. */
const [ACTIVE, STEP] = [16, 2];
const FEWEST = { active: 4, beams: 4 };

/** `put(alter)` alters the draft, `field(label, unit, set, more)` makes a field that does, `sheet()` gives what is prescribed. */
export function scanFields(put, field, sheet) {
  const whole = (value) => Math.max(0, Math.round(value));
  const count = { step: 1, decimals: 0 };
  const kind = selectField({ label: 'set_up.scan', options: ['sector', 'linear'].map((one) => [one, text(`set_up.scan.${one}`)]),
    put: (one) => put((draft) => (one === 'linear' ? toLinear(draft, sheet()) : toSector(draft, sheet()))) });
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

/** A linear scan at the middle angle, from the first element to the last whose sound leaves inside the wedge. */
export function toLinear({ probe, sector }, { shear_mm_per_us }) {
  const angle = Math.round((sector.from_deg + sector.to_deg) / 2);
  const last_element = lastInside(probe, angle, shear_mm_per_us);
  const active = Math.max(FEWEST.active, Math.min(ACTIVE, sector.active_elements, Math.floor(last_element / 2)));
  const step_elements = Math.max(1, Math.min(STEP, Math.floor((last_element - active) / (FEWEST.beams - 1))));
  Object.assign(sector, { first_element: 1, active_elements: active, from_deg: angle, to_deg: angle, linear: { step_elements, last_element } });
}

function lastInside(probe, angle, shear) {
  const wedge = probe.wedge_angle_deg * RAD;
  const slope = Math.tan(Math.asin(Math.min(0.99, (Math.sin(angle * RAD) * probe.wedge_material.longitudinal_mm_per_us) / shear)));
  for (let element = probe.elements; element > 1; element--) {
    const along = (element - 1) * probe.pitch_mm;
    const exit = along * Math.cos(wedge) + (probe.first_element_height_mm + along * Math.sin(wedge)) * slope;
    if (exit <= probe.first_element_to_front_mm) return element;
  }
  return probe.elements;
}

/** The sector that is prescribed; where a linear scan is, one round its angle. Another probe uses its usual elements. */
export function toSector({ probe, sector }, { prescribed, store }) {
  const angle = sector.from_deg;
  delete sector.linear;
  const { linear, from_deg, to_deg, step_deg } = prescribed.sector;
  if (linear) Object.assign(sector, { from_deg: Math.max(35, angle - 15), to_deg: Math.min(70, angle + 10), step_deg: 1 });
  else Object.assign(sector, { from_deg, to_deg, step_deg });
  const own = !linear && probe.name === prescribed.probe.name ? prescribed.sector : null;
  const { first_element, active_elements } = own ?? store.find((choice) => choice.probe.name === probe.name) ?? sector;
  Object.assign(sector, { first_element, active_elements });
}
