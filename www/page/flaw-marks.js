// Flaws drawn onto the section: a box each, the chosen one heavier, with its number.
import { svg } from './element.js';

/** Least size of a box that can be seen, px. */
const LEAST_PX = 6;

export function flawMarks(group, map, flaws, chosen) {
  group.replaceChildren(...flaws.map(({ extent }, i) => {
    const [x, y, wide, high] = box(map, extent);
    return svg('g', { class: i === chosen ? 'flaw-mark chosen' : 'flaw-mark' },
      svg('rect', { x, y, width: wide, height: high, rx: 2 }),
      flaws.length > 1 ? svg('text', { x: x + wide + 4, y: y + 4 }, String(i + 1)) : null);
  }));
}

/** Left, top, width and height of a flaw's box in the section, px. */
export function box(map, { across_mm, depth_mm }) {
  const [left, right, top, bottom] = [map.x(across_mm[0]), map.x(across_mm[1]), map.z(depth_mm[0]), map.z(depth_mm[1])];
  const [wide, high] = [Math.max(LEAST_PX, right - left) + 4, Math.max(LEAST_PX, bottom - top) + 4];
  return [(left + right - wide) / 2, (top + bottom - high) / 2, wide, high];
}
