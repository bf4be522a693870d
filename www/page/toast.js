// A line that says what just happened and goes away by itself.
import { html, say } from './element.js';

const STAYS_MS = 4000;

export function toast() {
  const element = html('p', { class: 'toast', role: 'status', hidden: true });
  let hiding = 0;
  return { element, notice(words) {
    // Bench and recorded exam hear of the same session; one of them is there.
    if (!element.parentElement.checkVisibility()) return;
    say(element, words);
    element.hidden = false;
    clearTimeout(hiding);
    hiding = setTimeout(() => {
      element.hidden = true;
      // The same words told again are news again.
      say(element, '');
    }, STAYS_MS);
  } };
}
