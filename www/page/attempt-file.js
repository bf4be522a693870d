// An attempt as a file of its own: what was opened, the log and the edits. It opens on another machine, too.

import { save } from './save.js';

const FORM = 'trialplate-attempt';
const VERSION = 1;
/** More than the longest log that anybody writes in a day. */
const MOST_BYTES = 64e6;

/** Hands the open session to the reader as a file. */
export async function saveAttempt(session) {
  const { source, started, edits, about } = session;
  save(`${about.id}-session.json`, writeAttempt({ source, started, edits: edits.kept, log: await session.log() }));
}

function writeAttempt({ source, log, edits, started }) {
  const { bytes, ...rest } = source;
  return JSON.stringify({ form: FORM, version: VERSION, source: bytes ? { ...rest, base64: toBase64(bytes) } : rest, started, edits, log });
}

/** The attempt in a file, null where the file is something else; `wrong()` makes the error of a spoilt one. */
export async function readAttempt(file, wrong) {
  const head = await file.slice(0, 64).text();
  if (!head.includes(`"form":"${FORM}"`)) return null;
  if (file.size > MOST_BYTES) throw wrong();
  try {
    const { version, source: { base64, ...source }, started, edits, log } = JSON.parse(await file.text());
    if (version !== VERSION || typeof log !== 'string' || typeof source.kind !== 'string' || !Number.isFinite(started)) throw wrong();
    return { source: base64 ? { ...source, bytes: fromBase64(base64) } : source, started, edits: sound(edits), log };
  } catch {
    throw wrong();
  }
}

/** Edits only of the form they are kept in: what else is in a file is left behind. */
function sound(edits) {
  const lists = ['undo', 'redo', 'ends'].every((name) => Array.isArray(edits?.[name]));
  const sheets = lists && [...edits.undo, ...edits.redo].every((state) => Array.isArray(state?.sheet?.calls) && Array.isArray(state.ends));
  return sheets && edits.ends.every((end) => end && typeof end === 'object') ? edits : null;
}

function toBase64(bytes) {
  let words = '';
  for (let i = 0; i < bytes.length; i += 4096) words += String.fromCharCode(...bytes.subarray(i, i + 4096));
  return btoa(words);
}

const fromBase64 = (words) => Uint8Array.from(atob(words), (letter) => letter.charCodeAt(0));
