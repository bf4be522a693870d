// What the colours of a sound picture mean: beside the picture, where its words cannot lie over anything drawn.
import { html } from './element.js';

export function colourScale() {
  const bar = html('span', { class: 'colour-bar', 'aria-hidden': 'true' });
  const [low, high] = [html('span', {}, '0'), html('span', {})];
  const element = html('div', { class: 'colour-scale' }, low, bar, high);
  return { element, show(colours, words) {
    bar.style.background = `linear-gradient(to right, ${colours.map((rgb) => `rgb(${rgb.join(' ')})`).join(',')})`;
    high.textContent = words;
  } };
}
