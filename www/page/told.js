// What the simulation tells by a key or by its English name, in the words of the page's language.
import { text } from './text.js';
import { BOARD_WORDS } from './texts-board.en.js';
import { TITLES } from './texts-titles.en.js';

const keys = (catalogue, begin) => new Map(Object.entries(catalogue).filter(([key]) => key.startsWith(begin))
  .map(([key, name]) => [name.toLowerCase(), key]));
const KINDS = keys(BOARD_WORDS, 'kind.');
const NAMES = keys(TITLES, 'title.');

const named = (known, name) => (known.has(name.toLowerCase()) ? text(known.get(name.toLowerCase())) : name);

/** A kind of flaw by its key; without one the question for it. */
export const kindOf = (kind) => text(kind ? `kind.${kind}` : 'kind.unset');

/** A kind of flaw by its English name, as marks have it. */
export const kindNamed = (name) => named(KINDS, name);

/** The title of a plate: of the yard's in the page's language, of others as their file has it. */
export const titleNamed = (title) => named(NAMES, title);
