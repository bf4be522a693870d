// Attempts kept in the browser: one record each, never one slot for all. Works without storage, too.

import { database } from '../shared/database.js';

const run = database('trialplate', 'attempts');

/** What became of keeping a record. */
export const KEPT = Object.freeze({ YES: 'yes', NOT: 'not', FULL: 'full', OVERTAKEN: 'overtaken' });

/** Keeps a record, unless a later revision of it is there: then another tab wrote it. */
export async function keep(record) {
  const before = await run('readwrite', (store) => {
    const found = store.get(record.id);
    found.onsuccess = () => {
      if (!((found.result?.rev ?? 0) >= record.rev)) store.put(record);
    };
    return found;
  });
  if (before === null) return run.trouble === 'QuotaExceededError' ? KEPT.FULL : KEPT.NOT;
  return before.rev >= record.rev ? KEPT.OVERTAKEN : KEPT.YES;
}
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
