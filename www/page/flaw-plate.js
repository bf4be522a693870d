// The clean plate of the flaw bench, as a plate file without procedure, and the limits its sliders keep to.
import { KINDS, beginning, flawKeys, toml } from './flaw-kinds.js';

const LENGTH_MM = 120;
const ROOT_FACE_MM = 3;
const ROOT_GAP_MM = 2;
const COVER_MM = 0.5;
const EDGE_MM = 0.2;
const HEATED_MM = 5;
/** How far a crack's facets stray by every unit of roughness over the usual, mm; the room has that of the usual already. */
const STRAY_MM = 0.3;
/** How far the longest and steepest branch stands off a crack, as a share of its height. */
const BRANCH_SHARE = 0.42;
const HEIGHT_STEP_MM = 0.5;
const MOST_LEAN_DEG = 30;
const RAD = Math.PI / 180;

/** What the flaw bench begins with. */
export const begin = () => ({ ...beginning('lack-of-side-wall-fusion', 20), depth_mm: 9, thickness_mm: 20, bevel_deg: 30 });

/** Lowest, highest, step and decimals of each slider for what is set now. */
export function limits(now) {
  const { kind, thickness_mm: t, tilt_deg } = now;
  const where = KINDS[kind][0];
  const height = Math.min(now.height_mm, highest(now));
  const [top, bottom] = [COVER_MM + height / 2, t - (where === 'bevel' ? ROOT_FACE_MM : COVER_MM) - height / 2];
  const widest = Math.min(12, Math.floor(4 * room(now, COVER_MM + height)) / 2);
  const has = (name) => KINDS[kind].includes(name);
  // How far it reaches to either side of its middle; pores are as wide as high.
  const own = has('tilt') ? (height / 2) * Math.tan(Math.abs(tilt_deg) * RAD) + aside(now, height) : has('width') ? Math.min(now.width_mm, widest) / 2 : height / 2;
  const narrow = room(now, t);
  const deepest = where === 'weld' && own > narrow ? t - ROOT_FACE_MM - (own - narrow) / Math.tan(now.bevel_deg * RAD) - height / 2 : bottom;
  const offset = Math.max(0, Math.floor((room(now, now.depth_mm + height / 2) - own) * 2) / 2);
  // A crack that starts at a face leans from there and stays within the heat-affected zone; one within leans about its middle.
  const lever = where === 'weld' ? [room(now, COVER_MM + height), height / 2] : [HEATED_MM, height];
  const lean = Math.min(MOST_LEAN_DEG, Math.floor(Math.atan((lever[0] - aside(now, height)) / lever[1]) / RAD));
  return {
    thickness_mm: [12, 40, 1, 0], bevel_deg: [12, 45, 1, 0], tilt_deg: [-lean, lean, 1, 0], height_mm: [HEIGHT_STEP_MM, highest(now), HEIGHT_STEP_MM, 1],
    length_mm: [kind === 'pore-line' ? Math.ceil(2.2 * height) : 2, kind === 'slag-inclusion' ? 4 * Math.max(now.width_mm, height) : 60, 1, 0],
    width_mm: [kind === 'transverse-crack' ? 2 : 0.5, widest, 0.5, 1],
    depth_mm: [Math.ceil(top * 2) / 2, Math.floor(Math.min(bottom, deepest) * 2) / 2, 0.5, 1], offset_mm: [-offset, offset, 0.5, 1], branches: [0, 6, 1, 0], roughness_ratio: [0, 3, 0.1, 1],
  };
}

/** Room from the centreline to either side down to a depth, with a little of the fused edge, mm. */
function room({ thickness_mm: t, bevel_deg }, depth_mm) {
  return ROOT_GAP_MM / 2 + EDGE_MM + Math.max(0, t - ROOT_FACE_MM - depth_mm) * Math.tan(bevel_deg * RAD);
}

/** How far a crack's facets and branches reach off its plane, mm. */
function aside({ branches, roughness_ratio }, height) {
  return (branches ? BRANCH_SHARE * height : 0) + STRAY_MM * Math.max(0, roughness_ratio - 1);
}

/** As high as the kind may be there, mm. */
function highest(now) {
  const { kind, thickness_mm: t } = now;
  const most = { 'lack-of-inter-run-fusion': 0.7, 'incomplete-penetration': ROOT_FACE_MM, 'lack-of-root-fusion': ROOT_FACE_MM + 1,
    'root-crack': 6, 'toe-crack': 6, 'single-pore': 5, 'pore-line': 3, 'pore-cluster': 6, 'transverse-crack': 8, 'slag-line': 5, 'slag-inclusion': 5 }[kind] ?? Math.floor(t / 2);
  if (kind !== 'centreline-crack') return most;
  // Its branches need room at its foot even where it lies highest.
  let height = most;
  while (height > HEIGHT_STEP_MM && aside(now, height) > room(now, COVER_MM + height)) height -= HEIGHT_STEP_MM;
  return height;
}

/** What is set, kept within the limits that follow from itself. */
export function kept(wanted) {
  const now = { ...wanted };
  for (const name of ['thickness_mm', 'bevel_deg', 'branches', 'roughness_ratio', 'height_mm', 'tilt_deg', 'width_mm', 'length_mm', 'depth_mm', 'offset_mm']) {
    const [low, high] = limits(now)[name];
    now[name] = Math.min(Math.max(now[name], low), Math.max(low, high));
  }
  if (now.kind === 'transverse-crack') now.length_mm = Math.min(now.length_mm, 2, now.width_mm);
  return now;
}

/** The plate file. */
export function plateText(now) {
  const length = now.kind === 'single-pore' ? now.height_mm : now.length_mm;
  return `version = 2

[plate]
id = "flaw-bench"
title = "One flaw alone"
seed = 1
thickness_mm = ${toml(now.thickness_mm)}
length_mm = ${toml(LENGTH_MM)}
width_mm = 260.0
grain_level_db = -40.0

[plate.joint]
preparation = "single-v"
groove_angle_deg = ${toml(2 * now.bevel_deg)}
root_face_mm = ${toml(ROOT_FACE_MM)}
root_gap_mm = ${toml(ROOT_GAP_MM)}
heat_affected_mm = ${toml(HEATED_MM)}
cap = { overlap_mm = 1.5, height_mm = 1.2, ripple_mm = 0.05 }
root_bead = { width_mm = 6.0, height_mm = 1.0, ripple_mm = 0.05 }

[[plate.flaw]]
${flawKeys(now, (LENGTH_MM - length) / 2)}`;
}
