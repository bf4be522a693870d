// Drawings that come as text.
import { text } from './text.js';

/** The drawing of a plate as an element, with its name and labels in the reader's language; parsed as XML, nothing in it runs. */
export function drawn(source, plate) {
  const parsed = new DOMParser().parseFromString(source, 'image/svg+xml').documentElement;
  for (const named of [parsed, ...parsed.querySelectorAll('text[data-word]')]) {
    const { word, which: n } = named.dataset;
    // The drawing's own name is its title, which a pointer that rests shows and a screen reader says.
    if (word) (named === parsed ? named.querySelector('title') : named).textContent = text(`drawing.${word}`, { n, plate });
  }
  // What it says beside that stays in the language it came in.
  parsed.querySelector('desc')?.setAttribute('lang', 'en');
  return document.importNode(parsed, true);
}
