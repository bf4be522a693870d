// Attempts kept in the browser: one record each, never one slot for all. Works without storage, too.

import { database } from '../shared/database.js';

const run = database('trialplate', 'attempts');

/** Keeps a record; tells whether that worked. */
export const keep = async (record) => (await run('readwrite', (store) => store.put(record))) !== null;
/** The record of an attempt, or null. */
export const recall = async (id) => {
  const record = await run('readonly', (store) => store.get(id));
  return record && record !== true ? record : null;
};
/** All records, newest first. */
export const all = async () => {
  const records = await run('readonly', (store) => store.getAll());
  return Array.isArray(records) ? records.sort((a, b) => b.updated - a.updated) : [];
};
/** Forgets an attempt. */
export const forget = (id) => run('readwrite', (store) => store.delete(id));
