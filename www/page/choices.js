// What a reader chooses once for the whole page: its language.
import { html } from './element.js';
import { selectField } from './fields.js';
import { LANGUAGES, language, speak } from './language.js';

/** `keep()` saves the open session before the page is loaded anew. */
export function choicesView(keep) {
  const tongue = selectField({ label: 'choice.language', options: LANGUAGES, put: async (name) => {
    await keep();
    speak(name);
  } });
  for (const option of tongue.input.options) option.lang = option.value;
  tongue.show(language);
  return html('div', { class: 'choices' }, tongue.element);
}
