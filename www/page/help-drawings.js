// Small drawings of the help.
import { svg } from './element.js';
import { beamLine, beamPoint } from './geometry.js';
import { text } from './text.js';

const [WIDE, HIGH] = [340, 96];
const drawing = (label, ...parts) => svg('svg', { class: 'help-drawing', viewBox: `0 0 ${WIDE} ${HIGH}`, role: 'img', 'aria-label': label }, ...parts);

/** A beam folded at the faces of the plate up to an echo, to scale. */
export function foldedBeam({ angle_deg, path_mm, thickness_mm }) {
  const beam = { angle_deg, exit_forward_mm: 0 };
  const [end, depth] = beamPoint(beam, path_mm, thickness_mm, true);
  const scale = Math.min((WIDE - 40) / Math.max(end, 1), (HIGH - 30) / thickness_mm);
  const [px, py] = [(x) => 16 + x * scale, (z) => 8 + z * scale];
  const line = beamLine(beam, 0, path_mm, thickness_mm, true).map(([x, z], i) => `${i ? 'L' : 'M'}${px(x).toFixed(1)} ${py(z).toFixed(1)}`).join('');
  return drawing('', svg('rect', { class: 'metal', x: 0, y: py(0), width: WIDE, height: thickness_mm * scale }),
    svg('path', { class: 'beam', d: line }),
    svg('path', { class: 'help-measure', d: `M${px(end)} ${py(0)}V${py(depth)}M${px(0)} ${py(thickness_mm) + 7}H${px(end)}M${px(0)} ${py(thickness_mm) + 3}v8M${px(end)} ${py(thickness_mm) + 3}v8` }),
    svg('circle', { class: 'help-echo', cx: px(end), cy: py(depth), r: 5 }));
}

/** An echo over the weld, cut at half its height. */
export function halfHeight() {
  const curve = (x) => 78 - 62 / (1 + ((x - 170) / 62) ** 4);
  const points = Array.from({ length: 65 }, (_, i) => 10 + i * 5);
  return drawing(text('read.long.label'), svg('path', { class: 'drop-ground', d: `M10 80H330` }),
    svg('path', { class: 'drop-level', d: 'M10 47H330' }),
    svg('path', { class: 'trace-curve', d: points.map((x, i) => `${i ? 'L' : 'M'}${x} ${curve(x).toFixed(1)}`).join('') }),
    svg('path', { class: 'drop-marks', d: 'M108 38v18M232 38v18' }),
    svg('text', { x: 108, y: 93, 'text-anchor': 'middle' }, text('call.start')), svg('text', { x: 232, y: 93, 'text-anchor': 'middle' }, text('call.end')));
}

/** An upright flaw, a beam at each of its tips. */
export function twoTips() {
  return drawing(text('read.high.label'), svg('rect', { class: 'metal', x: 0, y: 8, width: WIDE, height: 80 }),
    svg('path', { class: 'beam', d: 'M20 8L170 30M20 8L170 66' }), svg('path', { class: 'help-flaw', d: 'M170 30V66' }),
    svg('path', { class: 'help-measure light', d: 'M196 8V30M192 30h8M226 8V66M222 66h8' }),
    svg('text', { class: 'on-metal', x: 202, y: 26 }, text('read.high.a')), svg('text', { class: 'on-metal', x: 232, y: 50 }, text('read.high.b')),
    svg('text', { class: 'on-metal', x: 248, y: 64 }, text('read.high.mm')));
}
