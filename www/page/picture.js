// The picture beyond the faces: there is no metal, so only what echoes is shown there (cap, root bead).

/** Green of the colours at which an echo begins to show, and at which it hides what is behind it. */
const [FAINT, FULL] = [60, 150];

/** Lets the picture fade above the upper and below the lower face, the weaker the echo the more. */
export function fadeBeyondFaces(pixels, { width_px, height_px, depth_mm: [top, bottom] }, thickness_mm) {
  const row = (depth) => Math.round(((depth - top) / (bottom - top)) * height_px);
  const fade = (from, to) => {
    // Green rises with the echo's height all along the colours.
    for (let i = from * width_px * 4; i < to * width_px * 4; i += 4) {
      pixels[i + 3] = Math.min(pixels[i + 3], Math.max(0, ((pixels[i + 1] - FAINT) / (FULL - FAINT)) * 255));
    }
  };
  fade(0, Math.max(0, Math.min(height_px, row(0))));
  fade(Math.max(0, Math.min(height_px, row(thickness_mm))), height_px);
}
