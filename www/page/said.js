// Sentences of the simulation: it gives a key and values, the page says them in the reader's language and unit.
import { language, locale } from './language.js';
import { clock, number, signed, text } from './text.js';

/** How a number is written, by the end of its name; lengths in mm are left to the text. */
const WRITTEN = {
  db: (value) => text('db', { value: signed(value) }),
  decibels: (value) => text('db', { value: number(Math.abs(value)) }),
  deg: (value) => text('lesson.now.deg', { value: number(value, 0) }),
  ms: clock,
  kind: (value) => text(`kind.${value}`).toLocaleLowerCase(locale),
  mark,
  points: (value) => tenths(Math.round(value * 10)),
  percent: (value) => text('lesson.now.percent', { value: number(value, 0) }),
};

const tenths = (value) => number(value / 10, value % 10 ? 1 : 0);
// As the reports have it: no comma before the last.
const lists = new Intl.ListFormat(language === 'en' ? 'en-GB' : locale, { type: 'conjunction' });

/** A share of one hundred as a mark shows it, rounded down so that it never says more than was reached. */
export function mark(value) {
  return text('lesson.now.percent', { value: tenths(Math.floor(value * 10 + 1e-6)) });
}

/** A sentence of {key, values}. */
export function sentence({ key, values }) {
  return text(key, Object.fromEntries(Object.entries(values).map(([name, value]) => [name, written(name, value)])));
}

function written(name, value) {
  if (Array.isArray(value)) return lists.format(value.map((one) => String(written(name, one))));
  if (typeof value === 'object') return sentence(value);
  return WRITTEN[name.split('_').at(-1)]?.(value) ?? value;
}
