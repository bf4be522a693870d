// Rulers in the reader's unit: round steps, the same places for marks and words.
import { number } from './text.js';
import { keptLength, shownLength, unit } from './units.js';

const STEPS_MM = { mm: [0.5, 1, 2, 5, 10, 20, 50, 100, 200], in: [0.02, 0.05, 0.1, 0.2, 0.5, 1, 2, 5, 10].map(keptLength) }[unit];
/** Finest marks of a ruler that is drawn to scale. */
const FINEST_MM = { mm: 5, in: keptLength(0.1) }[unit];
/** Marks of a depth scale, mm. */
export const DEPTH_STEP_MM = { mm: 5, in: keptLength(0.2) }[unit];

/** The number at a mark of a ruler. */
const words = (mm, step_mm) => number(shownLength(mm), shownLength(step_mm) > 1 - 1e-6 ? 0 : shownLength(step_mm) > 0.1 - 1e-6 ? 1 : 2);
/** The number at a mark of a depth scale. */
export const depthWords = (mm) => words(mm, DEPTH_STEP_MM);

function marks(from_mm, to_mm, step_mm) {
  const first = Math.ceil(from_mm / step_mm - 1e-6);
  const count = Math.max(0, Math.floor(to_mm / step_mm + 1e-6) - first + 1);
  return Array.from({ length: count }, (_, i) => ({ mm: (first + i) * step_mm, words: words((first + i) * step_mm, step_mm) }));
}

/** Marks between two places, at least so many pixels apart. */
export function rulerMarks(from_mm, to_mm, px_per_mm, room_px) {
  return marks(from_mm, to_mm, STEPS_MM.find((mm) => mm >= FINEST_MM && mm * px_per_mm > room_px) ?? STEPS_MM.at(-1));
}

/** An axis from 0 to the first mark that is not below a length, in so many steps at most: where it ends, and its marks. */
export function axisTo(length_mm, most) {
  const step_mm = STEPS_MM.find((mm) => length_mm / mm <= most) ?? STEPS_MM.at(-1);
  const end_mm = Math.ceil(length_mm / step_mm - 1e-6) * step_mm;
  return { end_mm, marks: marks(0, end_mm, step_mm) };
}

/** The tape along the weld: where its ticks stand, with their lengths in px, and its numbers. */
export function tapeMarks(length_mm, px_per_mm) {
  const [fine, middle, numbers] = unit === 'in' ? [0.1, 0.5, 1].map(keptLength)
    : [px_per_mm < 5 ? 5 : 1, 10, px_per_mm < 2 ? 50 : 20];
  return { ticks: [[fine, 5], [middle, 9], [numbers, 13]].flatMap(([step_mm, px]) => marks(0, length_mm, step_mm).map(({ mm }) => [mm, px])),
    numbers: marks(0, length_mm, numbers) };
}
