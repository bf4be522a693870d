// Controls that explain themselves: to the pointer that rests on them and to screen readers.
import { set } from './element.js';
import { text } from './text.js';

/** Gives a control the sentence of its label, where there is one. */
export function explain(element, label) {
  const key = `why.${label}`;
  const words = text(key);
  return words === key ? element : set(element, { title: words, 'aria-description': words });
}
