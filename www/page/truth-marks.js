// After handing in: where the flaws are, on the plate and in the section, told from calls by shape and line.
import { svg } from './element.js';
import { text } from './text.js';
import { kindNamed } from './told.js';

const SMALLEST_PX = 6;

/** Whether the truth is out and wanted. */
const shown = ({ handed_in, truth }) => Boolean(handed_in?.marks && truth);

/** The flaws from above. */
export function truthAbove(session, { px, py }) {
  if (!shown(session)) return [];
  return session.handed_in.marks.flaws.map(({ number, kind, extent: { along_mm, across_mm } }) =>
    mark(number, kind, { left: px(along_mm[0]), right: px(along_mm[1]), top: py(across_mm[1]), bottom: py(across_mm[0]) }));
}

/** The flaws that the section cuts. */
export function truthInSection(session, map) {
  if (!shown(session) || session.view !== 'folded') return [];
  const { y_mm } = session.pose;
  return session.handed_in.marks.flaws.filter(({ extent: { along_mm: [from, to] } }) => from <= y_mm && y_mm <= to)
    .map(({ number, kind, extent: { across_mm, depth_mm } }) =>
      mark(number, kind, { left: map.x(across_mm[0]), right: map.x(across_mm[1]), top: map.z(depth_mm[0]), bottom: map.z(depth_mm[1]) }));
}

/** A box with a diamond that bears the flaw's number, as in the debrief. */
function mark(number, kind, { left, right, top, bottom }) {
  const wide = Math.max(SMALLEST_PX, right - left);
  const high = Math.max(SMALLEST_PX, bottom - top);
  const [x, y] = [(left + right) / 2, (top + bottom) / 2];
  // The number stands below its box, or above where the drawing is dense there.
  const label = y + high / 2 + 13;
  return svg('g', { class: 'truth-mark' }, svg('title', {}, text('truth.flaw', { n: number, kind: kindNamed(kind) })),
    svg('rect', { class: 'truth-case', x: x - wide / 2, y: y - high / 2, width: wide, height: high }),
    svg('rect', { x: x - wide / 2, y: y - high / 2, width: wide, height: high }),
    svg('path', { class: 'truth-diamond', d: `M${x} ${label - 11}l11 11l-11 11l-11 -11z` }),
    svg('text', { x, y: label + 4, 'text-anchor': 'middle' }, String(number)));
}
