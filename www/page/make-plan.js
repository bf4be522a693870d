// The plate from above on the drawing board: side B upwards, along the weld to the right.
import { html, set, svg } from './element.js';
import { makeMarks } from './make-marks.js';
import { rulerMarks } from './ruler.js';
import { text } from './text.js';

const [HIGH_PX, EDGE_PX, LEAST_PX] = [150, 8, 8];

export function makePlan(held) {
  const still = svg('g', {});
  const group = svg('g', {});
  const drawing = svg('svg', { class: 'board-above', role: 'group', 'aria-label': text('make.plan') }, still, group);
  const stage = html('div', { class: 'board-stage make-plan' }, drawing);
  const marks = makeMarks(group, { name: 'plan', held, reach: (dx, dy, [along, across]) => ({ along: dx / along, across: -dy / across }),
    keys: { ArrowLeft: ['along', -1], ArrowRight: ['along', 1], ArrowUp: ['across', 1], ArrowDown: ['across', -1] } });
  let last = null;

  function update(laid, chosen) {
    last = [laid, chosen];
    const width = stage.clientWidth;
    if (!width) return;
    set(drawing, { viewBox: `0 0 ${width} ${HIGH_PX}` });
    const { plate, outline } = laid;
    const [low, high] = outline.upper_edges_mm;
    // Across the weld it is drawn larger than along, or nothing could be taken hold of.
    const along = (width - 2 * EDGE_PX) / plate.length_mm;
    const across = (HIGH_PX - 60) / Math.max(10, high - low);
    const px = (y) => EDGE_PX + y * along;
    const py = (x) => (HIGH_PX - 16) / 2 - x * across;
    still.replaceChildren(
      svg('rect', { class: 'plan-steel', x: px(0), y: 0, width: plate.length_mm * along, height: HIGH_PX - 18 }),
      svg('rect', { class: 'plan-weld', x: px(0), y: py(high), width: plate.length_mm * along, height: (high - low) * across }),
      svg('line', { class: 'centreline', x1: px(0), x2: px(plate.length_mm), y1: py(0), y2: py(0) }),
      svg('text', { x: width - 14, y: 14, 'text-anchor': 'end' }, text('side.name', { side: 'B' })),
      svg('text', { x: width - 14, y: HIGH_PX - 24, 'text-anchor': 'end' }, text('side.name', { side: 'A' })),
      ...rulerMarks(0, plate.length_mm, along, 38).map(({ mm, words }) => svg('text', { x: px(mm), y: HIGH_PX - 4, 'text-anchor': mm === 0 ? 'start' : mm > plate.length_mm - 5 ? 'end' : 'middle' }, words)));
    marks.update(laid, laid.flaws.map(({ extent: { along_mm, across_mm } }) => {
      const [wide, tall] = [Math.max(LEAST_PX, (along_mm[1] - along_mm[0]) * along), Math.max(LEAST_PX, (across_mm[1] - across_mm[0]) * across)];
      return [px((along_mm[0] + along_mm[1]) / 2) - wide / 2, py((across_mm[0] + across_mm[1]) / 2) - tall / 2, wide, tall];
    }), chosen, [along, across]);
  }

  new ResizeObserver(() => last && update(...last)).observe(stage);
  return { element: stage, update };
}
