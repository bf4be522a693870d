// The parts of the plate from above that stay: plate, weld, names of the sides, tape.
import { svg } from './element.js';
import { tapeMarks } from './ruler.js';

/** Elements for a drawing of this width and scale; `px` and `py` place along and across, the tape lies below `plate`. */
export function planStill({ outline, about }, { px, py, scale, plate, tape_px }) {
  const [low, high] = outline.upper_edges_mm;
  const [left, right] = [px(0), px(about.length_mm)];
  const bead = [];
  for (let y = 0; y < about.length_mm; y += 3) {
    bead.push(`M${px(y)} ${py(low)}Q${px(y + 2.6)} ${py(0)} ${px(y)} ${py(high)}`);
  }
  const tape = tapeMarks(about.length_mm, scale);
  const ticks = tape.ticks.map(([y, long]) => `M${px(y)} ${plate + 5}v${long}`);
  const numbers = tape.numbers.map(({ mm: y, words }) => {
    const anchor = y === 0 ? 'start' : y >= about.length_mm - 4 ? 'end' : 'middle';
    return svg('text', { x: px(y), y: plate + 30, 'text-anchor': anchor }, words);
  });
  return [
    svg('rect', { class: 'plate', x: left, y: 0, width: right - left, height: plate - 2 }),
    svg('rect', { class: 'weld', x: left, y: py(high), width: right - left, height: py(low) - py(high) }),
    svg('path', { class: 'bead', d: bead.join('') }),
    svg('line', { class: 'centreline', x1: left, x2: right, y1: py(0), y2: py(0) }),
    svg('rect', { class: 'tape', x: left, y: plate + 2, width: right - left, height: tape_px - 3, rx: 3 }),
    svg('path', { class: 'tape-ticks', d: ticks.join('') }),
    svg('g', { class: 'tape-numbers' }, ...numbers),
  ];
}
