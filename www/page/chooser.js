// A button that opens the system's choice of files.
import { html } from './element.js';
import { clear } from './failure.js';
import { text } from './text.js';

export function chooser(id, label, properties, chosen) {
  const input = html('input', { type: 'file', id, class: 'unseen', ...properties, onchange: async () => {
    const files = [...input.files];
    input.value = '';
    if (!files.length) return;
    clear();
    await chosen(files);
  } });
  return { input, element: html('div', { class: 'chooser' }, input, html('label', { class: 'drop', for: id }, html('strong', {}, text(label)))) };
}

export const bytesOf = async (file) => new Uint8Array(await file.arrayBuffer());
