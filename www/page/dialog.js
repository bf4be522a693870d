// Dialogs: to read, to confirm.
import { html } from './element.js';
import { button } from './fields.js';

let count = 0;

/** Shows content under a title; resolves with the value of the button pressed, or null. A drawer lets the page go on. */
export function show({ title, content, buttons, drawer = false, style = '' }) {
  return new Promise((resolve) => {
    const id = `dialog-${++count}`;
    let chosen = null;
    const row = html('div', { class: 'row end' }, buttons.map(({ label, value, class: style }) => button({
      label, class: style ?? '', press: () => { chosen = value; dialog.close(); } })));
    const dialog = html('dialog', { 'aria-labelledby': id, class: `${drawer ? 'drawer' : ''} ${style}`.trim(),
      onclose: () => { dialog.remove(); resolve(chosen); },
      onkeydown: (event) => { if (drawer && event.key === 'Escape') dialog.close(); } },
      html('h2', { id, tabindex: -1, autofocus: true }, title), html('div', { class: 'dialog-content' }, content), row);
    document.body.append(dialog);
    if (drawer) dialog.show();
    else dialog.showModal();
  });
}
