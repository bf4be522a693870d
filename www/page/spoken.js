// The words of the reader's language for all that the simulation writes itself: reports, drawings, tables.
import { language } from './language.js';
import { decimalMark, entries } from './text.js';
import { TEXTS } from './texts.en.js';
import { unit } from './units.js';

// What files call by an English name stands under that name, all else under its key.
const NAMED = ['kind', 'preparation', 'title'];

/** As `exam::said::Language` reads them: a line for each key, which a tab parts from its words. */
export const spoken = [['lang', language], ['decimal_mark', decimalMark], ['unit', unit],
  ...entries(NAMED).map(([key, name]) => [TEXTS[key], name]), ...entries(['said'])].map((line) => line.join('\t')).join('\n');
