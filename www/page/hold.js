// What hands may hold: where the probe may stand, and where a gate may lie.
import { heldLength } from './units.js';

export const clamp = (value, low, high) => Math.min(high, Math.max(low, value));
export const tenth = (value) => Math.round(value * 10) / 10;
/** A length as hands can hold it, within its bounds. */
const held = (mm, low, high) => clamp(heldLength(mm), low, high);

/** Turn of the probe either way, degrees. */
export const MOST_SKEW_DEG = 30;

/** The pose after a move; what is not named stays. On the guide rail only `rail: true` moves it in or out. */
export function moved({ pose, rail, about: { procedure, length_mm } }, { rail: sets = false, ...part }) {
  const next = { ...pose, ...part };
  if (rail && !sets) next.index_offset_mm = pose.index_offset_mm;
  next.y_mm = held(next.y_mm, 0, length_mm);
  next.index_offset_mm = held(next.index_offset_mm, ...procedure.index_offset_mm);
  next.skew_deg = tenth(clamp(next.skew_deg, -MOST_SKEW_DEG, MOST_SKEW_DEG));
  return next;
}

/** A gate within the range shown. */
export function gateWithin(gate, range_mm) {
  const length_mm = held(gate.length_mm, 1, range_mm);
  return { length_mm, start_mm: held(gate.start_mm, 0, range_mm - length_mm),
    threshold_percent: Math.round(clamp(gate.threshold_percent, 2, 100)) };
}
