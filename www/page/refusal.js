// Why a file was refused, in the reader's language: the simulation says it in English, in sentences of one part or two.
import { language } from './language.js';

const CATALOGUES = { es: () => import('./refusals.es.js') };

/** Between what was found and what was expected. */
const PARTS = /^(.*)[,;] expected (.*)$/s;
/** File, line and column, then the place in the file: names that no language changes. */
const PLACE = /^((?:[^\n:]*\.\w+(?::\d+){0,2}: )?(?:[\w-]+(?:\.[\w-]+|\[\d+\])*(?:, [\w-]+\.\w+)?: )?)(.*)$/s;

/** A longer one repeats much of a file; looking for its sentence would take long. */
const LONGEST = 2000;

const ONE_WORD = '\\S+';
const VALUE = '[^a-zA-Z].*?|[\\w.-]+?';
const FITS = { w: ONE_WORD, v: VALUE, u: VALUE };

let words = null;
/** Once the sentences are there; until then, and without them, a refusal stays as it was said. */
export const ready = CATALOGUES[language]?.().then((catalogue) => { words = compiled(catalogue); }, () => {});

function compiled({ FOUND, EXPECTED, WORDS, BETWEEN }) {
  const sentences = (table) => table.trim().split('\n').map((line) => line.split('|')).map(([english, own]) => [pattern(english), own]);
  const units = Object.keys(WORDS).filter((word) => !word.includes(' ')).join('|');
  return { found: sentences(FOUND), expected: sentences(EXPECTED), names: WORDS, units: new RegExp(`(?<=\\d )(?:${units})\\b`), between: BETWEEN };
}

function pattern(sentence) {
  const plain = sentence.replace(/[\\^$.*+?()[\]|{}]/g, '\\$&');
  return new RegExp(`^${plain.replace(/\\\{(\w)\\\}/g, (_, name) => `(?<${name}>${FITS[name] ?? '.+?'})`)}$`, 's');
}

/** One part by the first sentence that fits; null for one that has no words here. */
function part(list, said) {
  for (const [fits, own] of list) {
    const match = fits.exec(said);
    if (match) return own.replace(/\{(\w)\}/g, (whole, name) => (name === 's' ? line : value)(match.groups?.[name] ?? whole));
  }
  return null;
}

const value = (said) => words.names[said] ?? said.replace(words.units, (unit) => words.names[unit]);

function line(said) {
  const [, place, rest] = PLACE.exec(said);
  const [, first, second] = PARTS.exec(rest) ?? [null, rest, null];
  const was = part(words.found, first);
  if (second === null) return was === null ? said : place + was;
  const wanted = part(words.expected, second);
  return was === null || wanted === null ? said : `${place}${was}${words.between}${wanted}`;
}

/** A refusal in the reader's language, line by line as far as there are words for it. */
export const refusal = (message) => (words && message.length <= LONGEST ? message.split('\n').map(line).join('\n') : message);
