// Sealed plates: the passphrase before a sitting, and sealing a plate.
import { EXAM } from '../shared/messages.js';
import { show } from './dialog.js';
import { html } from './element.js';
import { reasonOf } from './failure.js';
import { REFUSED } from './link.js';
import { refusal } from './refusal.js';
import { save } from './save.js';
import { text } from './text.js';

const MARK = 'trialplate sealed plate';

/** Whether a file is a sealed plate, by its first words. */
export const isSealed = ({ bytes }) => new TextDecoder().decode(bytes.slice(0, 200)).includes(MARK);

/** Opens an attempt by `start(attempt)`. Where its plate is sealed the passphrase is asked for, and again with the reason as long as the
 * one given does not open it; false when none was given. */
export async function opened(link, attempt, start) {
  for (let refused = ''; ;) {
    const ready = await unlocked(link, attempt, refused);
    if (!ready) return false;
    try {
      await start(ready);
      return true;
    } catch (error) {
      if (ready.passphrase === undefined || error.reason || error.message === 'restarted') throw error;
      refused = refusal(error.message);
    }
  }
}

/** The attempt, with the passphrase where its plate is sealed; null when the passphrase was not given. */
async function unlocked(link, attempt, refused) {
  const { source } = attempt;
  if (source.kind !== 'sealed' && !(source.kind === 'file' && isSealed(source))) return attempt;
  const terms = await link.exam(EXAM.TERMS, { name: source.name, bytes: source.bytes });
  const { field, input } = secret('seal.passphrase');
  const says = [terms.help ? 'seal.help' : 'seal.no_help', terms.debrief ? 'seal.debrief' : 'seal.no_debrief'];
  input.addEventListener('keydown', ({ key }) => key === 'Enter' && input.closest('dialog').querySelector('.main').click());
  const asked = show({ title: text('seal.title', { title: terms.title }), content: [
    html('ul', {}, html('li', {}, text('seal.time', { minutes: terms.time_minutes })), says.map((key) => html('li', {}, text(key)))),
    field, refused ? html('p', { class: 'set-up-problem', role: 'alert' }, refused) : null],
    buttons: [{ label: 'seal.back', value: false }, { label: 'seal.begin', value: true, class: 'main' }] });
  if (refused) input.focus();
  const begin = await asked;
  // The passphrase is kept nowhere: whoever comes back to the sitting gives it again.
  return begin ? { ...attempt, source: { ...source, kind: 'sealed' }, passphrase: input.value } : null;
}

/** Keeps the open session before the page is loaded anew; false when it is a sealed sitting and its sitter would rather not:
 * the passphrase is asked for again then. */
export async function keptToReload(session, attempts) {
  if (session.open && session.source.kind === 'sealed' && !session.handed_in) {
    const yes = await show({ title: text('seal.reload.title'), content: [html('p', {}, text('seal.reload'))],
      buttons: [{ label: 'seal.reload.stay', value: false, class: 'main' }, { label: 'seal.reload.go', value: true }] });
    if (!yes) return false;
  }
  await attempts.keep();
  return true;
}

/** Asks for passphrases and saves the plate sealed. */
export async function sealPlate(link, { name, bytes, id }) {
  const [instructor, sitting] = [secret('seal.instructor'), secret('seal.sitting')];
  const [help, debrief] = ['seal.allow_help', 'seal.allow_debrief'].map((key) => {
    const input = html('input', { type: 'checkbox' });
    return { input, element: html('label', { class: 'check' }, input, html('span', {}, text(key))) };
  });
  // What was refused is told beside the fields, which keep what was typed.
  for (let refused = null; ;) {
    const asked = show({ title: text('seal.seal'), content: [html('p', {}, text('seal.words')),
      instructor.field, sitting.field, help.element, debrief.element, refused && html('p', { class: 'set-up-problem', role: 'alert' }, reasonOf(refused))].filter(Boolean),
      buttons: [{ label: 'seal.cancel', value: false }, { label: 'seal.save', value: true, class: 'main' }] });
    if (refused) instructor.input.focus();
    if (!await asked) return;
    try {
      const sealed = await link.exam(EXAM.SEAL, { name, bytes, instructor: instructor.input.value, sitting: sitting.input.value,
        help: help.input.checked, debrief: debrief.input.checked });
      return save(`${id}-sealed.json`, sealed);
    } catch (error) {
      if (error.name !== REFUSED) throw error;
      refused = error;
    }
  }
}

let count = 0;

/** A field for a passphrase. It is told aloud in the room: to see what one types helps more than it harms. */
export function secret(label) {
  const id = `secret-${++count}`;
  const input = html('input', { type: 'text', id, autocomplete: 'off', autocapitalize: 'off', spellcheck: 'false' });
  return { input, field: html('div', { class: 'field' }, html('label', { for: id }, text(label)), input) };
}
