// Kinds of flaws for whoever draws them: what can be set of each, where each lies, and its keys in a plate file.

/** Properties by kind; the first word is where it lies. Planar kinds first. */
export const KINDS = {
  'lack-of-side-wall-fusion': ['bevel', 'side', 'height', 'length', 'depth', 'roughness'],
  'lack-of-inter-run-fusion': ['run', 'height', 'length'],
  'lack-of-root-fusion': ['root', 'side', 'height', 'length'],
  'incomplete-penetration': ['root', 'height', 'length'],
  'centreline-crack': ['weld', 'tilt', 'height', 'length', 'depth', 'offset', 'branches', 'roughness'],
  'transverse-crack': ['weld', 'height', 'width', 'depth', 'offset', 'roughness'],
  'root-crack': ['root', 'side', 'tilt', 'height', 'length', 'branches', 'roughness'],
  'toe-crack': ['toe', 'side', 'tilt', 'height', 'length', 'branches', 'roughness'],
  'slag-line': ['weld', 'height', 'width', 'length', 'depth', 'offset', 'roughness'],
  'slag-inclusion': ['weld', 'height', 'width', 'length', 'depth', 'offset', 'roughness'],
  'single-pore': ['weld', 'height', 'depth', 'offset'],
  'pore-cluster': ['weld', 'height', 'width', 'length', 'depth', 'offset'],
  'pore-line': ['weld', 'height', 'length', 'depth', 'offset'],
};

/** Sizes to begin with: height, length and width, mm. */
const BEGIN = {
  'lack-of-side-wall-fusion': [4, 25], 'lack-of-inter-run-fusion': [0.5, 20], 'lack-of-root-fusion': [1.5, 25],
  'incomplete-penetration': [1.5, 25], 'centreline-crack': [4, 20], 'transverse-crack': [4, 2, 8], 'root-crack': [3, 25],
  'toe-crack': [3, 20], 'slag-line': [2, 25, 2], 'slag-inclusion': [2, 6, 3], 'single-pore': [2, 2], 'pore-cluster': [4, 8, 4],
  'pore-line': [1.5, 20],
};

/** A flaw of a kind to begin with, somewhere in a plate of this thickness. */
export function beginning(kind, thickness_mm) {
  const [height_mm, length_mm, width_mm = height_mm] = BEGIN[kind];
  return { kind, height_mm, length_mm, width_mm, depth_mm: thickness_mm / 2, offset_mm: 0, tilt_deg: 0, branches: 0, roughness_ratio: 1, side: 'A', seed: 1 };
}

/** A number as TOML writes one with a unit: to 0.01, with a point. */
export function toml(value) {
  const words = String(Math.round(value * 100) / 100);
  return words.includes('.') ? words : `${words}.0`;
}

function place({ kind, side, depth_mm, offset_mm }) {
  const at = side === 'A' ? 'a' : 'b';
  switch (KINDS[kind][0]) {
    case 'bevel':
      return `{ bevel = { side = "${side}", depth_mm = ${toml(depth_mm)} } }`;
    case 'run':
      return '{ run = { layer = 2, run = 1 } }';
    case 'toe':
      return `{ toe = { side = "${side}" } }`;
    case 'root': {
      const spot = { 'lack-of-root-fusion': `edge-${at}`, 'root-crack': `toe-${at}` }[kind] ?? 'centre';
      return `{ root = { at = "${spot}" } }`;
    }
    default:
      return `{ weld = { depth_mm = ${toml(depth_mm)}, offset_mm = ${toml(offset_mm)} } }`;
  }
}

/** The keys of `[[plate.flaw]]`. */
export function flawKeys(flaw, start_mm) {
  const has = (name) => KINDS[flaw.kind].includes(name);
  const length = flaw.kind === 'single-pore' ? flaw.height_mm : flaw.length_mm;
  return [`kind = "${flaw.kind}"`, `start_mm = ${toml(start_mm)}`, `length_mm = ${toml(length)}`, `height_mm = ${toml(flaw.height_mm)}`,
    has('width') ? `width_mm = ${toml(flaw.width_mm)}` : null, has('tilt') && flaw.tilt_deg ? `tilt_deg = ${toml(flaw.tilt_deg)}` : null,
    has('branches') && flaw.branches ? `branches = ${Math.round(flaw.branches)}` : null,
    has('roughness') && flaw.roughness_ratio !== 1 ? `roughness_ratio = ${toml(flaw.roughness_ratio)}` : null, `seed = ${flaw.seed}`,
    `place = ${place(flaw)}`].filter(Boolean).join('\n').concat('\n');
}
