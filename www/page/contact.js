// Contact: how wet the plate is under the probe, the brush, and the wet finger.
import { DRY_DB, keepBench } from './calibration-check.js';
import { html, say, set } from './element.js';
import { button, selectField } from './fields.js';
import { number, text } from './text.js';

/** Half the width of a stroke beyond the wedge, mm, and loss at which the words change, dB. */
const BEYOND_MM = 6;
const THIN_DB = 1;

/** Wets the way of the probe along the whole plate at the offsets that the procedure allows. */
export async function wetThePlate(session) {
  const { procedure, length_mm } = session.about;
  const sign = session.pose.side === 'A' ? -1 : 1;
  const [near, far] = procedure.index_offset_mm;
  const back = far + procedure.probe.wedge_length_mm;
  const [middle, reach_mm] = [sign * (near + back) / 2, Math.min(60, (back - near) / 2 + BEYOND_MM)];
  const stroke = { face: session.pose.face ?? 'upper', from_mm: [middle, 0], to_mm: [middle, length_mm], reach_mm };
  await session.calibrate('couplant', { stroke });
  session.change();
}

export function contactView(session) {
  const words = html('p', { role: 'status' });
  const wet = button({ label: 'contact.brush', key: 'W', press: () => wetThePlate(session) });
  const finger = selectField({ label: 'contact.finger', put: press,
    options: ['none', 'cap', 'wedge'].map((value) => [value, text(`contact.finger.${value}`)]) });
  const film = html('div', { class: 'contact-film' }, wet);
  const element = html('div', { class: 'contact' }, html('h3', {}, text('contact.title')), words, film, finger.element);
  let busy = false;
  let last = null;

  async function press(value) {
    const { y_mm } = session.pose;
    const where = { none: null, wedge: 'wedge', cap: { plate: { face: 'upper', offset_mm: 0, y_mm } } }[value];
    await session.calibrate('finger', { finger: where });
    session.change();
  }

  async function ask() {
    busy = true;
    try {
      const state = keepBench(session, await session.calibrate('state'));
      set(film, { hidden: state.always_wet });
      const loss = state.contact_loss_db;
      const key = session.lifted ? 'lifted' : state.always_wet ? 'always' : loss < THIN_DB ? 'wet' : loss < DRY_DB ? 'thin' : 'dry';
      say(words, text(`contact.${key}`, { loss: number(loss, 0) }));
    } finally {
      busy = false;
    }
  }

  return {
    element,
    update() {
      if (busy || last === session.frame) return;
      last = session.frame;
      ask();
    },
  };
}
