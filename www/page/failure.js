// The one panel for when something failed, in plain words.
import { html } from './element.js';
import { button } from './fields.js';
import { text } from './text.js';

const place = () => document.getElementById('failure');

/** Shows what happened and what can be done; `details` can be copied. */
export function fail({ title, words, details = '', actions = [] }) {
  const more = details && html('details', {}, html('summary', {}, text('fail.details')), html('pre', { tabindex: 0 }, details));
  const panel = html('div', { class: 'failure', role: 'alert' }, html('h2', {}, title),
    html('p', { class: 'failure-words' }, words), more || null,
    html('div', { class: 'row' }, actions.map(({ label, press }) => button({ label, press: () => { clear(); press(); } })),
      button({ label: 'fail.close', press: clear })));
  place().replaceChildren(panel);
  panel.scrollIntoView({ block: 'nearest' });
}

/** Takes the panel away. */
export function clear() {
  place().replaceChildren();
}
