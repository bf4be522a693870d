// The section of a plate on the drawing board: joint to scale, sound picture, wedge, flaws to take hold of.
import { html, say, set, svg } from './element.js';
import { across, beamLine } from './geometry.js';
import { fadeBeyondFaces } from './picture.js';
import { still } from './section-still.js';
import { foot } from './section-overlay.js';

const ABOVE_MM = 8;
const BELOW_MM = 4;

/** `flaws` draws onto the section: `draw(group, map, laid)`. */
export function boardSection({ label, draw }) {
  const canvas = html('canvas', { 'aria-hidden': 'true' });
  const context = canvas.getContext('2d');
  const ground = svg('svg', { class: 'section-ground', 'aria-hidden': 'true' });
  const wedge = svg('path', { class: 'board-wedge' });
  const beam = svg('path', { class: 'beam' });
  const flaws = svg('g', {});
  const lines = svg('g', {});
  const above = svg('svg', { class: 'board-above', role: 'group', 'aria-label': label }, lines, beam, wedge, flaws);
  const stage = html('div', { class: 'board-stage' }, ground, canvas, above);
  const map = { width: 0, height: 0, scale: 1 };
  let last = {};

  function layOut({ laid, wide_mm }) {
    map.width = stage.clientWidth;
    map.height = stage.clientHeight;
    if (!map.width || !map.height) return false;
    const deep = laid.plate.thickness_mm + ABOVE_MM + BELOW_MM;
    map.scale = Math.min(map.width / wide_mm, map.height / deep);
    const top = (map.height - deep * map.scale) / 2 + ABOVE_MM * map.scale;
    const weld = map.width / 2;
    Object.assign(map, { x: (x) => weld + x * map.scale, z: (z) => top + z * map.scale,
      toX: (px) => (px - weld) / map.scale, toZ: (px) => (px - top) / map.scale });
    return true;
  }

  function place({ picture }, scan, laid) {
    const { place: at, buffer } = picture;
    if (canvas.width !== at.width_px || canvas.height !== at.height_px) set(canvas, { width: at.width_px, height: at.height_px });
    const pixels = new Uint8ClampedArray(buffer.slice(0));
    fadeBeyondFaces(pixels, at, laid.plate.thickness_mm);
    context.putImageData(new ImageData(pixels, at.width_px, at.height_px), 0, 0);
    const pose = { ...scan, skew_deg: 0 };
    const [near, far] = at.forward_mm.map((ahead) => map.x(across(pose, ahead)));
    const [upper, lower] = at.depth_mm.map(map.z);
    Object.assign(canvas.style, { left: `${Math.min(near, far)}px`, top: `${upper}px`, width: `${Math.abs(far - near)}px`, height: `${lower - upper}px` });
    canvas.classList.toggle('mirrored', far < near);
    const point = ([ahead, depth]) => `${map.x(across(pose, ahead)).toFixed(1)} ${map.z(depth).toFixed(1)}`;
    const line = (points) => points.map((p, i) => (i ? 'L' : 'M') + point(p)).join('');
    set(wedge, { d: `${line(foot(laid.procedure.probe))}Z` });
    set(beam, { d: line(beamLine(laid.beams[scan.beam], 0, laid.procedure.range_mm, laid.plate.thickness_mm, true)) });
  }

  /** Shows {laid, frame, scan, wide_mm}; without a frame the joint alone. */
  function update(now = last) {
    last = now;
    if (!now.laid || !layOut(now)) return;
    const { laid, frame, scan } = now;
    for (const one of [ground, above]) set(one, { viewBox: `0 0 ${map.width} ${map.height}` });
    const about = { thickness_mm: laid.plate.thickness_mm, width_mm: laid.plate.width_mm, colours: laid.colours };
    const { behind, before } = still(map, { view: 'folded', outline: laid.outline, about, pose: { side: scan?.side ?? 'A', face: 'upper' } });
    ground.replaceChildren(...behind);
    lines.replaceChildren(before);
    for (const one of [canvas, wedge, beam]) one.toggleAttribute('hidden', !frame);
    for (const one of [wedge, beam]) set(one, { visibility: frame ? null : 'hidden' });
    if (frame) place(frame, scan, laid);
    draw(flaws, map, laid);
  }

  new ResizeObserver(() => update()).observe(stage);
  return { element: stage, map, above, update, name: (words) => set(above, { 'aria-label': words }), say };
}
