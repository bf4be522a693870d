// Forgetting an old plate with its recording, and the line that brings both back until the place is left.
import { html } from './element.js';
import { button } from './fields.js';
import { forgetRecording, keepRecording, recallRecording } from '../shared/recording-store.js';
import { forget, keep } from './store.js';
import { text } from './text.js';
import { titleNamed } from './told.js';

/** Forgets a record; resolves with the line that says so. `back()` follows when it was undone. */
export async function forgetRecord(record, back) {
  const title = titleNamed(record.title);
  const recorded = await recallRecording(record.id);
  await Promise.all([forget(record.id), forgetRecording(record.id)]);
  const undo = button({ label: 'start.forget.undo', values: { title }, face: text('sheet.undo'), class: 'small', press: async () => {
    await Promise.all([keep(record), recorded && keepRecording(record.id, recorded)]);
    await back();
  } });
  return { element: html('div', { class: 'forgotten' }, html('span', {}, text('start.forgotten', { title })), undo), focus: () => undo.focus() };
}
