// Drawings that come as text.
import { text } from './text.js';

/** The drawing as an element, with its labels in the reader's language; parsed as XML, nothing in it runs. */
export function drawn(source) {
  const parsed = new DOMParser().parseFromString(source, 'image/svg+xml').documentElement;
  for (const label of parsed.querySelectorAll('text[data-word]')) {
    const { word, which: n } = label.dataset;
    label.textContent = text(`drawing.${word}`, { n });
  }
  return document.importNode(parsed, true);
}
