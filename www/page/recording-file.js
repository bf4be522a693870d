// Recordings as files: saved for other programs and other people, opened again.
import { chooser } from './chooser.js';
import { refusal } from './refusal.js';
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

/** A button for the system's choice of files; `open(file)` does something with the recording in it. */
export function openField(id, { label, open, notice }) {
  return chooser(id, label, { accept: '.npz' }, async ([file]) => {
    try {
      notice(text('record.file.reading', { name: file.name }));
      await open(file);
    } catch (error) {
      notice(text('record.file.bad', { name: file.name, what: error.reason ? text(error.reason, { what: file.name }) : refusal(error.message) }));
    }
  }).element;
}
