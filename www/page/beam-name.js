// How beams are told apart: by their angles, or, where all have the same one, by their number from the rear of the wedge.
import { number, text } from './text.js';

/** Whether the beams are those of a linear scan. */
export function parallel(beams) {
  return beams.length > 1 && beams[0].angle_deg === beams.at(-1).angle_deg;
}

/** The echo trace of a beam, in words. */
export function traceOf(beams, index) {
  const angle = number(beams[index].angle_deg);
  return parallel(beams) ? text('trace.of.parallel', { angle, n: index + 1, count: beams.length }) : text('trace.of', { angle });
}
