// Detection against the height of flaws, drawn: every flaw as a mark above or below, the curve, and the heights read off it.
import { svg } from './element.js';
import { axisTo } from './ruler.js';
import { text } from './text.js';

/** The drawing's own units. */
const [WIDE, HIGH, LEFT, RIGHT, TOP, BOTTOM] = [640, 350, 92, 20, 46, 72];
const PERCENTS = [0, 25, 50, 75, 100];

/** `trials` are [height mm, found]; `curve` has points, a90_mm and a90_95_mm. */
export function drawCurve(trials, curve) {
  const highest = Math.max(...trials.map(([height_mm]) => height_mm));
  const { end_mm, marks } = axisTo(highest, 5);
  const x = (height_mm) => LEFT + (height_mm / end_mm) * (WIDE - LEFT - RIGHT);
  const y = (percent) => HIGH - BOTTOM - (percent / 100) * (HIGH - TOP - BOTTOM);
  const label = (at, words, anchor = 'middle') => svg('text', { x: at[0], y: at[1], 'text-anchor': anchor }, words);
  const path = curve.points.map(([height_mm, percent], k) => `${k ? 'L' : 'M'}${x(height_mm).toFixed(1)} ${y(percent).toFixed(1)}`).join('');
  const found = trials.filter(([, one]) => one).length;
  // What lies beyond the heights met is said in words only.
  const read = [['a90_mm', 'a90', 'curve-a90'], ['a90_95_mm', 'a90/95', 'curve-bound']].filter(([key]) => curve[key] !== null && curve[key] <= end_mm);
  return svg('svg', { class: 'curve-drawing', viewBox: `0 0 ${WIDE} ${HIGH}`, role: 'img',
    'aria-label': text('progress.drawing', { found, missed: trials.length - found, to_mm: highest }) },
  PERCENTS.map((percent) => [svg('line', { class: 'curve-grid', x1: LEFT, x2: WIDE - RIGHT, y1: y(percent), y2: y(percent) }),
    label([LEFT - 8, y(percent) + 5], `${percent} %`, 'end')]).flat(),
  marks.map(({ mm, words }) => label([x(mm), HIGH - BOTTOM + 34], words)),
  label([(LEFT + WIDE - RIGHT) / 2, HIGH - 6], text('progress.axis')),
  read.map(([key, words, style], row) => [
    svg('line', { class: style, x1: x(curve[key]), x2: x(curve[key]), y1: y(0), y2: y(90) }),
    label([x(curve[key]) + (x(curve[key]) > WIDE / 2 ? -6 : 6), y(14 + 12 * row)], words, x(curve[key]) > WIDE / 2 ? 'end' : 'start')]).flat(),
  svg('path', { class: 'curve-line', d: path }),
  // Found: a full disc above. Missed: a cross below.
  trials.map(([height_mm, one]) => (one ? svg('circle', { class: 'curve-found', cx: x(height_mm), cy: y(100) - 12, r: 4.5 })
    : svg('path', { class: 'curve-missed', d: `M${x(height_mm) - 4} ${y(0) + 8}l8 8m0 -8l-8 8` }))),
  label([LEFT, 16], text('progress.found_above'), 'start'), label([WIDE - RIGHT, 16], text('progress.missed_below'), 'end'));
}
