// A small section of a weld, to tell plates apart at a glance.
import { svg } from './element.js';

const HALF_WIDTH_MM = 30;
/** Joints of which only side A is bevelled. */
const ONE_SIDED = ['single-bevel', 'double-bevel', 'single-j'];

/** The section of a plate of some thickness and joint, not for measuring. */
export function groove(thickness_mm, joint) {
  const t = thickness_mm;
  const double = joint.startsWith('double');
  const open = joint === 'square' ? 1 : (double ? t / 2 : t) * (joint === 'single-j' ? 0.3 : 0.55) + 1;
  const edge = (s) => {
    if (joint === 'square' || (s > 0 && ONE_SIDED.includes(joint))) return `M${s} 0V${t}`;
    if (double) return `M${s * open} 0L${s} ${t / 2}L${s * open} ${t}`;
    if (joint === 'single-j') return `M${s * open} 0L${s * 3.5} ${t - 4}Q${s * 2.8} ${t - 1.5} ${s} ${t - 1.5}V${t}`;
    return `M${s * open} 0L${s} ${t - 1.5}V${t}`;
  };
  const [left, right] = [-open - 1.5, ONE_SIDED.includes(joint) ? 3 : open + 1.5];
  const cap = `M${left} 0Q${(left + right) / 2} -3.4 ${right} 0Z`;
  const lower = double ? `M${left} ${t}Q${(left + right) / 2} ${t + 3.4} ${right} ${t}Z` : `M-3 ${t}Q0 ${t + 2.6} 3 ${t}Z`;
  const foot = joint === 'backing-bar' ? `M-10 ${t}H10V${t + 4}H-10Z` : lower;
  return svg('svg', { class: 'groove', viewBox: `${-HALF_WIDTH_MM} -4 ${2 * HALF_WIDTH_MM} 37`, 'aria-hidden': 'true' },
    svg('rect', { class: 'metal', x: -HALF_WIDTH_MM, y: 0, width: 2 * HALF_WIDTH_MM, height: t }),
    svg('path', { class: 'metal', d: cap + foot }), svg('path', { class: 'preparation', d: edge(-1) + edge(1) }),
    svg('path', { class: 'groove-beam', d: `M${left - 13} 0L${left - 13 + t * 1.43} ${t}L${left - 13 + t * 2.86} 0` }));
}
