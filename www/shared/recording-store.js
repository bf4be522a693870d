// Recordings kept in the browser, one file beside each attempt. A base of their own: they are large.

import { database } from './database.js';

const run = database('trialplate-recordings', 'files');

/** Keeps the file of an attempt's recording; tells whether there was room. */
export const keepRecording = async (id, bytes) => (await run('readwrite', (store) => store.put({ id, bytes }))) !== null;
/** The file of an attempt's recording, or null. */
export const recallRecording = async (id) => (await run('readonly', (store) => store.get(id)))?.bytes ?? null;
/** Forgets an attempt's recording. */
export const forgetRecording = (id) => run('readwrite', (store) => store.delete(id));
