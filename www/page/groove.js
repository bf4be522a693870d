// A small section of a weld, to tell plates apart at a glance.
import { svg } from './element.js';

const HALF_WIDTH_MM = 30;

/** The section of a plate of some thickness, both V groove angles 60 degrees, not for measuring. */
export function groove(thickness_mm, double) {
  const t = thickness_mm;
  const open = (double ? t / 2 : t) * 0.55 + 1;
  const side = (s) => double
    ? `M${s * open} 0L${s} ${t / 2}L${s * open} ${t}` : `M${s * open} 0L${s} ${t - 1.5}V${t}`;
  const cap = `M${-open - 1.5} 0Q0 -3.4 ${open + 1.5} 0Z`;
  const foot = double ? `M${-open - 1.5} ${t}Q0 ${t + 3.4} ${open + 1.5} ${t}Z` : `M-3 ${t}Q0 ${t + 2.6} 3 ${t}Z`;
  return svg('svg', { class: 'groove', viewBox: `${-HALF_WIDTH_MM} -4 ${2 * HALF_WIDTH_MM} 33`, 'aria-hidden': 'true' },
    svg('rect', { class: 'metal', x: -HALF_WIDTH_MM, y: 0, width: 2 * HALF_WIDTH_MM, height: t }),
    svg('path', { class: 'metal', d: cap + foot }), svg('path', { class: 'preparation', d: side(-1) + side(1) }),
    svg('path', { class: 'groove-beam', d: `M${-open - 14} 0L${-open - 14 + t * 1.43} ${t}L${-open - 14 + t * 2.86} 0` }));
}
