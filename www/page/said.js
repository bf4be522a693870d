// Sentences of the simulation: it gives a key and values, the page says them in the reader's language and unit.
import { clock, number, signed, text } from './text.js';

/** How a number is written, by the end of its name; lengths in mm are left to the text. */
const WRITTEN = {
  db: (value) => text('db', { value: signed(value) }),
  decibels: (value) => text('db', { value: number(Math.abs(value)) }),
  deg: (value) => text('lesson.now.deg', { value: number(value, 0) }),
  ms: clock,
  percent: (value) => text('lesson.now.percent', { value: number(value, 0) }),
};

/** A sentence of {key, values}. */
export function sentence({ key, values }) {
  return text(key, Object.fromEntries(Object.entries(values).map(([name, value]) => [name, written(name, value)])));
}

function written(name, value) {
  if (typeof value === 'object') return sentence(value);
  return typeof value === 'number' ? WRITTEN[name.split('_').at(-1)]?.(value) ?? value : value;
}
