// Where things of the section lie: beams fold at the faces, side B looks the other way.

const RAD = Math.PI / 180;

/** Depth in the plate of an unfolded depth. */
export function foldDepth(unfolded_mm, thickness_mm) {
  const turn = unfolded_mm % (2 * thickness_mm);
  return turn > thickness_mm ? 2 * thickness_mm - turn : turn;
}

/** x across the weld of a distance ahead of the wedge front. */
export function across(pose, forward_mm) {
  const sign = pose.side === 'A' ? 1 : -1;
  return sign * (forward_mm * Math.cos(pose.skew_deg * RAD) - pose.index_offset_mm);
}

/** The distance ahead of the wedge front of a place across the weld. */
export function forward(pose, x_mm) {
  const sign = pose.side === 'A' ? 1 : -1;
  return (sign * x_mm + pose.index_offset_mm) / Math.cos(pose.skew_deg * RAD);
}

/** The point of a beam after a sound path: [forward, depth], folded or not. */
export function beamPoint(beam, path_mm, thickness_mm, folded) {
  const unfolded = path_mm * Math.cos(beam.angle_deg * RAD);
  return [
    beam.exit_forward_mm + path_mm * Math.sin(beam.angle_deg * RAD),
    folded ? foldDepth(unfolded, thickness_mm) : unfolded,
  ];
}

/** Sound path to the nth face met: 1 far face, 2 near face again, … */
export function pathToFace(beam, thickness_mm, n) {
  return (n * thickness_mm) / Math.cos(beam.angle_deg * RAD);
}

/** Corner points of a beam between two sound paths, faces included. */
export function beamLine(beam, from_mm, to_mm, thickness_mm, folded) {
  const paths = [from_mm];
  for (let n = 1; pathToFace(beam, thickness_mm, n) < to_mm; n++) {
    const path = pathToFace(beam, thickness_mm, n);
    if (path > from_mm) paths.push(path);
  }
  paths.push(to_mm);
  return paths.map((path) => beamPoint(beam, path, thickness_mm, folded));
}

/** The beam that passes nearest to a place of the unfolded section, and the sound path to it; null outside the fan. */
export function beamThrough(beams, forward_mm, depth_mm) {
  let best = null;
  beams.forEach((beam, index) => {
    const ahead = forward_mm - beam.exit_forward_mm;
    const [sin, cos] = [Math.sin(beam.angle_deg * RAD), Math.cos(beam.angle_deg * RAD)];
    const miss = Math.abs(ahead * cos - depth_mm * sin);
    if (!best || miss < best.miss) best = { beam: index, sound_path_mm: ahead * sin + depth_mm * cos, miss };
  });
  return best && best.miss < 3 ? best : null;
}
