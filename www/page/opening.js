// What is told while the program loads and while a plate is made ready.
import { TO_PAGE } from '../shared/messages.js';
import { html, say, set } from './element.js';
import { number, text } from './text.js';

/** A plate that is there sooner than this needs no words, ms. */
const SOON_MS = 150;

/** Fills the line under the head; `begin()` when a plate is asked for, the function it gives when it is there or refused. */
export function openingNotice(link, place) {
  const words = html('span', {}, text('loading.first'));
  const bar = html('progress', { max: 1, value: 0, hidden: true, 'aria-label': text('opening.share') });
  delete place.dataset.text;
  place.replaceChildren(words, bar);
  let opening = 0;
  let ready = false;

  link.addEventListener(TO_PAGE.PROGRESS, ({ detail: { loaded_bytes, total_bytes } }) => {
    const kb = number(loaded_bytes / 1000, 0);
    say(words, total_bytes ? text('loading.of', { kb, total: number(total_bytes / 1000, 0) }) : text('loading', { kb }));
  });
  link.addEventListener(TO_PAGE.READY, () => {
    ready = true;
    if (opening) say(words, text('opening'));
    else place.hidden = true;
  });
  link.addEventListener(TO_PAGE.LOOKED, ({ detail }) => {
    if (!opening) return;
    say(words, text('opening.drawn'));
    set(bar, { hidden: false, value: detail.share });
  });

  return function begin() {
    opening++;
    const late = setTimeout(() => {
      if (ready && place.hidden) say(words, text('opening'));
      place.hidden = false;
    }, SOON_MS);
    return () => {
      clearTimeout(late);
      if (--opening === 0) set(bar, { hidden: true, value: 0 });
      place.hidden = opening === 0;
    };
  };
}
