// Recordings as files: saved for other programs and other people, opened again.
import { html } from './element.js';
import { save } from './save.js';
import { text } from './text.js';

export async function saveRecording(recording) {
  const bytes = await recording.file();
  const { plate_id } = recording.about.setting;
  save(`${plate_id.replace(/[^\w-]+/g, '-')}-recording.npz`, bytes, 'application/zip');
}

/** Whether a file is a recording, by its first bytes: those of a zip archive. */
export async function isRecording(file) {
  const [p, k] = new Uint8Array(await file.slice(0, 2).arrayBuffer());
  return file.name.toLowerCase().endsWith('.npz') || (p === 0x50 && k === 0x4b);
}

/** A field that opens a recording in place of the one at hand. */
export function openField(recording, { notice, opened }) {
  const input = html('input', { type: 'file', id: 'recording-file', class: 'unseen', accept: '.npz', onchange: async () => {
    const [file] = input.files;
    if (!file) return;
    try {
      notice(text('record.file.reading', { name: file.name }));
      await recording.load(file);
      const own = recording.plate === recording.about.setting.plate_id;
      notice(text(own ? 'record.file.opened' : 'record.file.other', { name: file.name, plate: recording.about.setting.plate_id }));
      opened();
    } catch (error) {
      notice(text('record.file.bad', { name: file.name, what: error.reason ? text(error.reason) : error.message }));
    }
    input.value = '';
  } });
  return html('div', {}, input, html('label', { class: 'drop', for: 'recording-file' }, text('record.file.choose')));
}
