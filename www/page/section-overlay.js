// What moves over the section: wedge, edges of the fan, the chosen beam with its gate, the reading.
import { say, set, svg } from './element.js';
import { across, beamLine, beamPoint } from './geometry.js';
import { text } from './text.js';
import { truthInSection } from './truth-marks.js';

/** How high a lifted probe is drawn over the face, mm. */
const LIFT_MM = 3;

export function overlay() {
  const wedge = svg('path', { class: 'wedge' });
  const array = svg('path', { class: 'array' });
  const rim = svg('path', { class: 'fan-edge' });
  const beam = svg('path', { class: 'beam' });
  const gateCase = svg('path', { class: 'gate-case' });
  const gate = svg('path', { class: 'gate' });
  const secondCase = svg('path', { class: 'gate-case' });
  const secondGate = svg('path', { class: 'gate', 'stroke-dasharray': '5 4' });
  const secondMark = svg('path', { class: 'reading-mark' });
  const gateName = svg('text', { class: 'gate-name' });
  const reading = svg('path', { class: 'reading-mark' });
  const readingName = svg('text', { class: 'reading-name' });
  const truth = svg('g', { class: 'truth' });
  // Sound that left the metal is not followed: beams end where the plate or the block does.
  const metal = svg('rect');
  const whole = svg('path');
  const sound = svg('g', { 'clip-path': 'url(#section-metal)' }, rim, beam, secondCase, secondGate, gateCase, gate);
  const held = svg('g', { 'clip-path': 'url(#section-whole)' }, wedge, array);
  const element = svg('g', {}, svg('clipPath', { id: 'section-metal' }, metal),
    svg('clipPath', { id: 'section-whole' }, whole), sound, truth, held, gateName, secondMark, reading, readingName);

  return {
    element,
    wedge,
    update(map, session) {
      const { about, pose, view } = session;
      const { thickness_mm, procedure, beams } = about;
      const folded = view === 'folded';
      const chosen = beams[session.beam];
      const upturned = folded && pose.face === 'lower';
      const point = ([ahead, depth]) => [map.x(across(pose, ahead)), map.z(upturned ? thickness_mm - depth : depth)];
      const d = (points) => points.map((p, i) => (i ? 'L' : 'M') + point(p).map((v) => v.toFixed(1)).join(' ')).join('');
      const line = (of, from, to) => d(beamLine(of, from, to, thickness_mm, folded));
      const [left, right] = [-about.width_mm / 2, about.width_mm / 2].map(map.x);
      set(metal, { x: left, width: right - left, y: map.z(0) - 3, height: map.z(folded ? thickness_mm : map.deep) - map.z(0) + 6 });
      truth.replaceChildren(...truthInSection(session, map));
      // Off the plate, nothing goes into it.
      for (const one of [sound, gateName]) set(one, { visibility: session.lifted ? 'hidden' : null });
      set(held, { transform: session.lifted ? `translate(0 ${(upturned ? 1 : -1) * LIFT_MM * map.scale})` : null });
      set(wedge, { d: `${d(foot(procedure.probe))}Z` });
      set(array, { d: d(elements(procedure.probe)) });
      set(rim, { d: line(beams[0], 0, procedure.range_mm) + line(beams.at(-1), 0, procedure.range_mm) });
      set(beam, { d: line(chosen, 0, procedure.range_mm) });
      const gateLine = (one) => {
        if (!one) return '';
        const ends = [one.start_mm, one.start_mm + one.length_mm];
        return line(chosen, ...ends) + ends.map((path) => tick(chosen, path, thickness_mm, folded, point)).join('');
      };
      for (const path of [gate, gateCase]) set(path, { d: gateLine(session.gate) });
      for (const path of [secondGate, secondCase]) set(path, { d: gateLine(session.second_gate) });
      const to = session.gate.start_mm + session.gate.length_mm;
      const [x, y] = point(beamPoint(chosen, to, thickness_mm, folded));
      name(gateName, text('section.gate'), x + 12, Math.max(y - 8, 14), map);
      cut(map, foot(procedure.probe).map((one) => point(one)[1]));
      showReading(session, map, point, folded);
    },
  };

  /** A wedge that is higher than the drawing has room for ends in a wavy edge, as broken-off parts are drawn. */
  function cut({ width, height }, ys) {
    const wave = (y) => Array.from({ length: Math.ceil(width / 24) }, () => `q6 ${y} 12 0t12 0`).join('');
    set(whole, { d: Math.min(...ys) < 0 ? `M0 7${wave(-7)}V${height}H0Z` : Math.max(...ys) > height ? `M0 ${height - 7}${wave(-7)}V0H0Z` : `M0 0H${width}V${height}H0Z` });
  }

  function showReading(session, map, point, folded) {
    const [found, second] = [session.frame?.reading, session.second_gate && session.frame?.second_reading];
    const place = ({ beam: index, sound_path_mm }) => point(beamPoint(session.about.beams[index], sound_path_mm, session.about.thickness_mm, folded));
    // A square for the second gate, a round mark for the first.
    set(secondMark, { d: second ? square(place(second)) : '' });
    set(reading, { visibility: found ? 'visible' : 'hidden' });
    set(readingName, { visibility: found ? 'visible' : 'hidden' });
    if (!found) return;
    const [x, y] = place(found);
    set(reading, { d: `M${x - 9} ${y}a9 9 0 1 0 18 0a9 9 0 1 0 -18 0M${x - 15} ${y}h6M${x + 9} ${y}h6M${x} ${y - 15}v6M${x} ${y + 9}v6` });
    name(readingName, text('section.depth', { depth_mm: found.depth_mm }), x + 14, y + 22, map);
  }
}

const square = ([x, y]) => `M${x - 7} ${y - 7}h14v14h-14Z`;

/** Room that the depth scale takes at the right edge, px. */
const SCALE_PX = 40;

/** Words beside a place, as far to the left or up as it takes to have them whole on the drawing, clear of its depth scale. */
function name(label, words, x, y, map) {
  say(label, words);
  set(label, { x: Math.max(4, Math.min(x, map.width - lengthOf(label, words) - SCALE_PX)), y: Math.min(y, map.height - 6) });
}

const lengths = new Map();

/** Length of a label, px, measured once for each count of letters and digits: digits are equally wide. */
function lengthOf(label, words) {
  const kind = words.replace(/\d/g, '0');
  if (!lengths.has(kind)) {
    const long = label.getComputedTextLength();
    if (!long) return 0;
    lengths.set(kind, long);
  }
  return lengths.get(kind);
}

/** A short line across the beam. */
function tick(beam, path_mm, thickness_mm, folded, point) {
  const [x, y] = point(beamPoint(beam, path_mm, thickness_mm, folded));
  const [x2, y2] = point(beamPoint(beam, path_mm + 0.01, thickness_mm, folded));
  const long = Math.hypot(x2 - x, y2 - y) || 1;
  const [ux, uy] = [((x2 - x) / long) * 9, ((y2 - y) / long) * 9];
  return `M${x - uy} ${y + ux}L${x + uy} ${y - ux}`;
}

/** The wedge's outline: front to rear, [forward, depth]. */
export function foot(probe) {
  const tan = Math.tan((probe.wedge_angle_deg * Math.PI) / 180);
  const rear = -probe.wedge_length_mm;
  const first = -probe.first_element_to_front_mm;
  // The array's face slopes down to the front or up to it, whichever the wedge angle says; the front is cut off.
  const height = (ahead) => probe.first_element_height_mm + (ahead - first) * tan;
  const last = first + span(probe);
  return [[0, 0], [rear, 0], [rear, -Math.max(2, height(rear))], [first, -height(first)], [last, -height(last)],
    [Math.min(-1, last + 2), -height(last) * 0.8], [0, -2.5]];
}

function elements(probe) {
  const tan = Math.tan((probe.wedge_angle_deg * Math.PI) / 180);
  const first = -probe.first_element_to_front_mm;
  const height = (ahead) => probe.first_element_height_mm + (ahead - first) * tan;
  return [[first, -height(first)], [first + span(probe), -height(first + span(probe))]];
}

function span(probe) {
  return (probe.elements - 1) * probe.pitch_mm * Math.cos((probe.wedge_angle_deg * Math.PI) / 180);
}
