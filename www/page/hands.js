// In your hand: place, gain, beam, gate.
import { parallel } from './beam-name.js';
import { html, say, set } from './element.js';
import { button, numberField, selectField, sliderField } from './fields.js';
import { overReference, scanningGain } from './gain.js';
import { gatesView } from './gates.js';
import { number, text } from './text.js';
import { stepLength } from './units.js';

/** `hearing` is the view of the echoes to be heard. */
export function handsView(session, hearing) {
  const y = numberField({ label: 'hands.y', unit: 'unit.mm', step: 1, put: (y_mm) => session.move({ y_mm }) });
  const offset = numberField({ label: 'hands.offset', unit: 'unit.mm', step: 0.5, put: (index_offset_mm) => session.move({ index_offset_mm, rail: true }) });
  const skew = numberField({ label: 'hands.skew', unit: 'unit.deg', step: 1, put: (skew_deg) => session.move({ skew_deg }) });
  const gain = sliderField({ label: 'hands.gain', unit: 'unit.db', step: 0.5, nudge: 1, keys: 'G', put: (gain_db) => session.adjust({ gain_db }) });
  const over = numberField({ label: 'hands.over_reference', unit: 'unit.db', step: 0.5, put: (db) => session.adjust({ gain_db: referenceGain() + db }) });
  const beam = sliderField({ label: 'hands.beam', unit: 'unit.deg', step: 0.5, keys: 'B', put: (angle) => session.adjust({ beam: nearest(angle) }) });
  // Parallel beams are told apart by their number.
  const numbered = sliderField({ label: 'hands.beam.number', step: 1, decimals: 0, keys: 'B', put: (n) => session.adjust({ beam: n - 1 }) });
  const gates = gatesView(session);
  const face = selectField({ label: 'hands.face', options: ['upper', 'lower'].map((one) => [one, text(`face.${one}`)]), put: (one) => session.move({ face: one }) });
  const motion = selectField({ label: 'hands.motion', options: ['free', 'rail'].map((one) => [one, text(`hands.motion.${one}`)]),
    put: (one) => session.adjust({ rail: one === 'rail' }) });
  const scanning = button({ label: 'hands.scanning_gain', press: () => session.adjust({ gain_db: scanningGain(session) }) });
  const reference = button({ label: 'hands.reference_gain', press: () => session.adjust({ gain_db: referenceGain() }) });
  const lift = button({ label: 'hands.lift', key: 'U', press: () => session.adjust({ lifted: !session.lifted }) });
  over.element.classList.add('slider-field');
  const nudge = stepButtons(session);
  const element = html('section', { class: 'card hands', 'aria-labelledby': 'hands-title' },
    html('h2', { id: 'hands-title' }, text('hands.title')),
    gain.element,
    over.element,
    html('div', { class: 'row' }, scanning, reference),
    beam.element, numbered.element,
    html('fieldset', { class: 'trio' }, html('legend', {}, text('hands.place')), y.element, offset.element, skew.element),
    nudge, html('div', { class: 'row' }, lift), html('div', { class: 'pair-even' }, face.element, motion.element), gates.element, hearing.element);

  const referenceGain = () => session.about.procedure.reference_gain_db;
  const nearest = (angle) => session.about.beams.reduce((best, { angle_deg }, i, beams) =>
    (Math.abs(angle_deg - angle) < Math.abs(beams[best].angle_deg - angle) ? i : best), 0);

  function update() {
    const { about, pose } = session;
    gain.show(session.gain_db, 0, 90);
    say(over.element.firstChild, text('hands.over_reference.than', { reference: number(referenceGain()) }));
    over.show(overReference(session));
    over.limits(-referenceGain(), 90 - referenceGain());
    beam.element.hidden = parallel(about.beams);
    numbered.element.hidden = !beam.element.hidden;
    numbered.show(session.beam + 1, 1, about.beams.length);
    beam.show(about.beams[session.beam].angle_deg, about.beams[0].angle_deg, about.beams.at(-1).angle_deg);
    y.name(about.block ? 'hands.y.block' : 'hands.y');
    y.show(pose.y_mm);
    y.limits(0, about.length_mm);
    offset.show(pose.index_offset_mm);
    offset.limits(...about.procedure.index_offset_mm);
    skew.show(pose.skew_deg);
    face.show(pose.face);
    motion.show(session.rail ? 'rail' : 'free');
    say(lift.firstChild, text(session.lifted ? 'hands.lift.down' : 'hands.lift'));
    gates.update();
    scanning.title = text('db', { value: number(scanningGain(session)) });
    reference.title = text('db', { value: number(referenceGain()) });
  }

  return { element, update };
}

/** Buttons that move the probe by a small step along and across; on a block, that is seen from the side, to the left and right. */
export function stepButtons(session, back = '←', forth = '→') {
  const step_mm = stepLength(1);
  const step = (key, face, part) => button({ label: key, values: { step_mm }, face, class: 'small', press: () => session.move(part(session.pose)) });
  const across = [
    step('hands.nearer', text('hands.nearer.face'), ({ index_offset_mm: mm }) => ({ index_offset_mm: mm - step_mm })),
    step('hands.farther', text('hands.farther.face'), ({ index_offset_mm: mm }) => ({ index_offset_mm: mm + step_mm }))];
  const along = [['hands.back', back, -step_mm], ['hands.forth', forth, step_mm]].map(([key, face, mm]) => step(key, face, ({ y_mm, side, index_offset_mm }) =>
    (session.about.block ? { index_offset_mm: index_offset_mm + (side === 'A' ? -mm : mm) } : { y_mm: y_mm + mm })));
  session.addEventListener('open', () => {
    const on = session.about.block ? '.block' : '';
    ['hands.back', 'hands.forth'].forEach((key, i) => set(along[i], { 'aria-label': text(key + on, { step_mm }), title: text(key + on, { step_mm }) }));
    for (const one of across) one.hidden = session.about.block;
  });
  // The guide rail holds the distance to the weld.
  session.addEventListener('change', () => across.forEach((one) => { one.disabled = session.rail; }));
  return html('div', { class: 'nudge', role: 'group', 'aria-label': text('hands.nudge') }, along, across);
}
