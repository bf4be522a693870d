// The language of the page: chosen, or the first of the browser's that is here. Numbers and dates follow the region as well.
import { preferred } from './preference.js';

/** Languages, each with its own name. */
export const LANGUAGES = [['en', 'English'], ['es', 'Español']];

const known = (tag) => LANGUAGES.some(([name]) => name === tag);
const base = (tag) => tag.toLowerCase().split('-')[0];
const wished = globalThis.navigator?.languages ?? [];
const chosen = globalThis.location ? preferred('lang') : null;

/** The language shown. */
export const language = known(chosen) ? chosen : wished.map(base).find(known) ?? 'en';
/** How numbers and dates are written: a reader in Mexico and one in Spain share the words, not the decimal mark. */
export const locale = wished.find((tag) => base(tag) === language) ?? { en: 'en-GB', es: 'es-ES' }[language];

const plurals = new Intl.PluralRules(language);

/** The form of words that goes with a count: one, few, many, other as the language has them. */
export const pluralOf = (count) => plurals.select(count);

/** A day, with the time of day if wanted. */
export function date(time, { clock = false } = {}) {
  const parts = clock ? { hour: '2-digit', minute: '2-digit' } : { year: 'numeric' };
  return new Intl.DateTimeFormat(locale, { day: 'numeric', month: 'short', ...parts }).format(time);
}
