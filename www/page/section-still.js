// The parts of the section that stay: metal, air, faces, prepared edges, cap, root, depth scale.
import { svg } from './element.js';
import { DEPTH_STEP_MM, depthWords } from './ruler.js';

/** Elements behind the picture and one group before it. */
export function still(map, session) {
  return session.view === 'folded' ? folded(map, session) : unfolded(map, session);
}

function path(map, line, turn = (z) => z) {
  return line.map(([x, z], i) => `${i ? 'L' : 'M'}${map.x(x).toFixed(1)} ${map.z(turn(z)).toFixed(1)}`).join('');
}

/** Undercut, a concave root and holes lie between the faces; what stands on a face lies outside them. */
const hollow = (line, thickness) => line.every(([, z]) => z > -0.01 && z < thickness + 0.01);

/** A round end runs from face to face: a line, not something filled. */
const ends = (line) => Math.abs(line[0][1] - line.at(-1)[1]) < 0.01;

function folded(map, session) {
  const { outline, about } = session;
  const t = about.thickness_mm;
  const behind = [
    svg('rect', { class: 'air', x: 0, y: 0, width: map.width, height: map.height }),
    svg('rect', { class: 'metal', ...body(map, about), y: map.z(0), height: map.z(t) - map.z(0) }),
    ...[...outline.cap, ...outline.root].filter(ends).map((line) => svg('path', { class: hollow(line, t) ? 'air' : 'metal', d: `${path(map, line)}Z` })),
  ];
  const before = svg('g', { class: 'lines' },
    edges(map, outline.upper_face), edges(map, outline.lower_face),
    svg('path', { class: 'preparation', d: outline.preparation.map((line) => path(map, line)).join('') }),
    svg('path', { class: 'profile', d: [...outline.cap, ...outline.root].map((line) => path(map, line)).join('') }),
    scale(map, t, [...Array(Math.floor(t / DEPTH_STEP_MM + 1e-6) + 1).keys()].map((i) => [i * DEPTH_STEP_MM, i * DEPTH_STEP_MM])));
  return { behind, before };
}

/** From edge to edge of the plate, as far as it is on the drawing. */
function body(map, { width_mm }) {
  const [left, right] = [Math.max(0, map.x(-width_mm / 2)), Math.min(map.width, map.x(width_mm / 2))];
  return { x: left, width: right - left };
}

/** Face lines run on to the edge of the drawing, as the plate does. */
function edges(map, lines) {
  const d = lines.map((line) => {
    const [[from, z], [to]] = line;
    return `M${Math.max(-5, map.x(from))} ${map.z(z)}H${Math.min(map.width + 5, map.x(to))}`;
  });
  return svg('path', { class: 'face', d: d.join('') });
}

function unfolded(map, { outline, about, pose }) {
  const t = about.thickness_mm;
  const bands = Math.ceil(map.deep / t);
  const behind = [svg('rect', { class: 'air', x: 0, y: 0, width: map.width, height: map.height })];
  const lines = [];
  const marks = [];
  for (let n = 0; n < bands; n++) {
    const end = Math.min((n + 1) * t, map.deep);
    behind.push(svg('rect', { class: n % 2 ? 'metal turned' : 'metal', ...body(map, about), y: map.z(n * t),
      height: map.z(end) - map.z(n * t) }));
    // Each leg sees the weld turned over at the face it came from.
    const own = (z) => (pose.face === 'lower' ? t - z : z);
    const turn = (z) => (n % 2 ? (n + 1) * t - own(z) : n * t + own(z));
    const inside = (line) => line.filter(([, z]) => turn(z) <= map.deep + 0.01);
    lines.push(...outline.preparation.map((line) => path(map, inside(line), turn)));
    lines.push(`M0 ${map.z(n * t)}H${map.width}`);
    for (let z = 0; z < t - 1e-6; z += DEPTH_STEP_MM) if (n * t + z <= map.deep) marks.push([n * t + z, own(n % 2 ? t - z : z)]);
  }
  const before = svg('g', { class: 'lines' }, svg('path', { class: 'preparation', d: lines.join('') }),
    scale(map, map.deep, marks));
  return { behind, before };
}

/** Depth marks at the edge: [place, number written there]. */
function scale(map, _deep, marks) {
  const x = map.width - 6;
  const every = [1, 2, 4].find((steps) => map.scale * DEPTH_STEP_MM * steps >= 16) ?? 8;
  return svg('g', { class: 'depth-scale' }, marks.map(([z, words], i) => svg('g', {},
    svg('path', { d: `M${x - (i % 2 ? 4 : 7)} ${map.z(z)}H${x}` }),
    i % every ? null : svg('text', { x: x - 11, y: map.z(z) + 4, 'text-anchor': 'end' }, depthWords(words)))));
}
