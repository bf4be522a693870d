// What a reader chooses once for the whole page: its language, and the unit of lengths.
import { html } from './element.js';
import { selectField } from './fields.js';
import { LANGUAGES, language } from './language.js';
import { anew } from './preference.js';
import { text } from './text.js';
import { UNITS, unit } from './units.js';

/** `keep()` saves the open session before the page is loaded anew; it resolves with false where that is not to be. */
export function choicesView(keep) {
  const choose = (name) => async (value) => {
    if (await keep()) return anew(name, value);
    tongue.show(language);
    lengths.show(unit);
  };
  const tongue = selectField({ label: 'choice.language', options: LANGUAGES, put: choose('lang') });
  for (const option of tongue.input.options) option.lang = option.value;
  tongue.show(language);
  const lengths = selectField({ label: 'choice.units', options: UNITS.map((one) => [one, text(`choice.units.${one}`)]), put: choose('units') });
  lengths.show(unit);
  return html('div', { class: 'page-choices' }, tongue.element, lengths.element);
}
