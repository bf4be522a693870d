// The one panel for when something failed, in plain words.
import { html } from './element.js';
import { button } from './fields.js';
import { refusal } from './refusal.js';
import { text } from './text.js';

const place = () => document.getElementById('failure');

/** Why something was refused, in the reader's language as far as there are words for it. */
export function reasonOf({ reason, message }) {
  if (reason) return [text(reason, { what: message })];
  const words = refusal(message);
  return [text('fail.refused'), ' ', html('span', { lang: words === message ? 'en' : null }, words)];
}

/** One of several things that are wrong, as an entry of a list; `before` stands in front of it. */
export function reasonItem(message, ...before) {
  const words = refusal(message);
  return html('li', { lang: words === message ? 'en' : null }, ...before, words);
}

/** Shows what happened and what can be done; `details` can be copied. What `lasts` stays until it is closed by hand. */
export function fail({ title, words, details = '', actions = [], lasts = false }) {
  const more = details && html('details', {}, html('summary', {}, text('fail.details')), html('pre', { tabindex: 0 }, details));
  const panel = html('div', { class: 'failure', role: 'alert', 'data-lasts': lasts }, html('h2', {}, title),
    html('p', { class: 'failure-words' }, words), more || null,
    html('div', { class: 'row' }, actions.map(({ label, press }) => button({ label, press: () => { panel.remove(); press(); } })),
      button({ label: 'fail.close', press: () => panel.remove() })));
  place().replaceChildren(panel);
  panel.scrollIntoView({ block: 'nearest' });
}

/** Takes the panel away: something else was asked for, or done. */
export function clear() {
  place().querySelector(':scope > :not([data-lasts])')?.remove();
}
