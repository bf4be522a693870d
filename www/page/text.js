// Texts by key in the language of the page, and numbers as people read them there.
import { keysMark } from './keys-mark.js';
import { language, locale, pluralOf } from './language.js';
import { TEXTS as ENGLISH } from './texts.en.js';
import { lengthDecimals, shownLength, unit } from './units.js';

/** Whether there are fingers alone: no mouse, and no reason to believe in keys. */
const fingers = Boolean(globalThis.matchMedia?.('(any-hover: none)').matches);

const CATALOGUES = { en: async () => ({ TEXTS: ENGLISH }), es: () => import('./texts.es.js') };
// A catalogue that does not come (an old edition kept, a broken line) leaves the page in English, not empty.
const OWN = await CATALOGUES[language]().then(byKey, () => ({}));
const TEXTS = { ...ENGLISH, ...OWN };
globalThis.document?.documentElement.setAttribute('lang', language);
missing();

/** Texts by their keys. The build sends another language's as a list in the order of the English keys, a text that stands twice as
 * the place of the first; a list for other keys is from another edition. */
function byKey({ TEXTS: texts, KEYS: mark }) {
  if (!Array.isArray(texts)) return texts;
  const keys = Object.keys(ENGLISH);
  const words = (k) => (typeof texts[k] === 'number' ? texts[texts[k]] : texts[k]);
  return mark === keysMark(keys) ? Object.fromEntries(keys.map((key, k) => [key, words(k)]).filter(([, own]) => own)) : {};
}

/** The text under a key, with {names} replaced by values. Of a text in several forms the one for `count` is taken. A name that
 * ends in _mm is a length in mm; it is shown in the reader's unit, as the text says after a colon: how many decimals in mm
 * (else 1), + with its sign, n without its unit. Of <these words|those words> the first are for keys, the others for fingers alone. */
export function text(key, values = {}) {
  const entry = TEXTS[key];
  if (entry === undefined) return key;
  const words = typeof entry === 'string' ? entry : entry[pluralOf(Number(values.count))] ?? entry.other;
  return unbroken(forHands(words).replace(/\{(\w+)(?::(\+?)(\d?)(n?))?\}/g, (whole, name, plus, decimals, bare) => {
    if (name === 'unit' && !(name in values)) return unitName();
    if (!(name in values)) return whole;
    if (!name.endsWith('_mm') || typeof values[name] === 'string') return told(values[name]);
    const digits = length(values[name], decimals ? Number(decimals) : 1, plus ? signed : number);
    return bare ? digits : `${digits} ${unitName()}`;
  }));
}

/** A number and its unit stay in one line. */
const unbroken = (words) => words.replace(/(\d) (?=(?:%|dB|mm|in|m|s|ms|MHz|kB|MB)(?![\p{L}\d]))/gu, '$1\u00a0');

/** Words as they suit the hands there are. */
export const forHands = (words) => unbroken(words.replace(/<([^<>|]*)\|([^<>|]*)>/g, fingers ? '$2' : '$1'));

const unitName = () => text(`unit.${unit}`);

/** A length in the reader's unit, without its name; a dash for none. */
export function length(mm, decimals = 1, write = number) {
  return mm === null || mm === undefined ? '–' : write(shownLength(mm), lengthDecimals(decimals));
}

const told = (value) => (typeof value === 'number' ? number(value, Number.isInteger(value) ? 0 : 1) : String(value));

const writers = new Map();
function writer(decimals) {
  if (!writers.has(decimals)) {
    writers.set(decimals, new Intl.NumberFormat(locale,
      { minimumFractionDigits: decimals, maximumFractionDigits: decimals, useGrouping: false, numberingSystem: 'latn' }));
  }
  return writers.get(decimals);
}

/** The decimal mark here. */
export const decimalMark = writer(1).formatToParts(0.5).find(({ type }) => type === 'decimal').value;

/** A number with a fixed count of decimals, the decimal mark of the locale and a true minus sign. */
export function number(value, decimals = 1) {
  const rounded = rounding(value, decimals);
  const digits = writer(decimals).format(Math.abs(rounded));
  return rounded < 0 ? `−${digits}` : digits;
}

/** A number that always shows its sign. */
export function signed(value, decimals = 1) {
  const words = number(value, decimals);
  return rounding(value, decimals) > 0 ? `+${words}` : words;
}

function rounding(value, decimals) {
  const scale = 10 ** decimals;
  return Math.round(value * scale) / scale;
}

/** Minutes and seconds. */
export function clock(ms) {
  const seconds = Math.max(0, Math.floor(ms / 1000));
  return `${Math.floor(seconds / 60)}:${String(seconds % 60).padStart(2, '0')}`;
}

/** Keys and texts, as they stand, of those subjects that keys begin with. */
export const entries = (subjects) => Object.entries(TEXTS).filter(([key]) => subjects.includes(key.split('.', 1)[0]));

/** Fills every element that names its text in the page as delivered. */
export function fillTexts(root) {
  for (const element of root.querySelectorAll('[data-text]')) element.textContent = text(element.dataset.text);
  for (const element of root.querySelectorAll('[data-label]')) {
    element.setAttribute('aria-label', text(element.dataset.label));
  }
}

/** On a developer's own machine the console tells what is not translated yet. */
function missing() {
  if (!['localhost', '127.0.0.1', '[::1]'].includes(globalThis.location?.hostname) || language === 'en') return;
  const lacking = Object.keys(ENGLISH).filter((key) => !(key in OWN));
  if (lacking.length) console.info(`Not in the catalogue "${language}", shown in English: ${lacking.join(', ')}`);
}
