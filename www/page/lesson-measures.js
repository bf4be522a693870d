// What a lesson measures, in words: one line each, with the value now and what is aimed at.
import { number, text } from './text.js';

/** Decimals of the numbers of each measure; one where it is not named. */
const DECIMALS = { height_percent: 0, examined_percent: 0 };

/** The line for a measure. */
export function measureWords({ what, now, low, high, wanted }) {
  const decimals = DECIMALS[what] ?? 1;
  // Lengths go as they are: the text shows them in the reader's unit.
  const values = what.endsWith('_mm') ? { now_mm: now ?? text('lesson.none'), low_mm: low ?? '', high_mm: high ?? '' } : {
    now: now === null ? text('lesson.none') : text(`lesson.now.${what.split('_').at(-1)}`, { value: number(now, decimals) }),
    low: low === null ? '' : number(low, decimals),
    high: high === null ? '' : number(high, decimals),
  };
  const key = wanted === null ? `lesson.measure.${what}` : `lesson.measure.${what}.${wanted}`;
  return text(key, values);
}
