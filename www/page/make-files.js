// What happens with a drawn plate: opened, saved, sealed, sat, shared.
import { show } from './dialog.js';
import { html } from './element.js';
import { button } from './fields.js';
import { addressOf } from './make-link.js';
import { save } from './save.js';
import { sealPlate } from './seal.js';
import { firstBytes } from './start.js';
import { text } from './text.js';

export function makeFiles(link, own, { open, id }) {
  const bytes = () => new TextEncoder().encode(own.text);
  const name = () => `${id()}.toml`;
  const file = html('input', { type: 'file', id: 'make-open', class: 'unseen', accept: '.toml,text/plain', onchange: async () => {
    if (file.files[0]) own.put(new TextDecoder().decode(await firstBytes(file.files[0])));
    file.value = '';
  } });

  async function share() {
    const address = await addressOf(own.text);
    if (!address) {
      await show({ title: text('make.share'), content: html('p', {}, text('make.share.long')), buttons: [{ label: 'dialog.close', value: null }] });
      return;
    }
    const field = html('input', { type: 'text', id: 'make-address', readonly: true, value: address, onfocus: () => field.select() });
    const copied = html('p', { role: 'status' });
    await show({ title: text('make.share'), content: [html('p', {}, text('make.share.words')),
      html('div', { class: 'field' }, html('label', { for: 'make-address' }, text('make.share.address')), field),
      button({ label: 'make.share.copy', press: async () => {
        await navigator.clipboard?.writeText(address).then(() => { copied.textContent = text('make.share.copied'); }, () => field.focus());
      } }), copied], buttons: [{ label: 'dialog.close', value: null }] });
  }

  return [button({ label: 'make.sit', class: 'main', press: () => open({ kind: 'file', name: name(), bytes: bytes() }) }),
    button({ label: 'make.save', press: () => save(name(), own.text, 'application/toml') }),
    file, html('label', { class: 'drop make-open', for: 'make-open' }, text('make.open')),
    button({ label: 'seal.seal', press: () => sealPlate(link, { name: name(), bytes: bytes(), id: id() }) }),
    button({ label: 'make.share', press: share })];
}
