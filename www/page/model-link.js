// The way to the page on the model and its limits, in the reader's language.
import { html } from './element.js';
import { text } from './text.js';

/** A link to that page; it opens beside what is at hand. A catalogue names the page of its language, or leaves readers the English one. */
export const modelLink = () => html('a', { href: text('caution.model.page'), target: '_blank', rel: 'noopener' }, text('caution.model'));
