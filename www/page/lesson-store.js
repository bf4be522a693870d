// What of the lessons is done, kept in the browser: one record each, in a base of their own, so that forgetting an attempt
// at a plate forgets no lesson.
import { database } from '../shared/database.js';

const run = database('trialplate-lessons', 'lessons');

/** Keeps {id, step, steps, done}; what was done stays done when the lesson is begun anew. */
export async function keepLesson(record) {
  const before = (await lessonRecords()).get(record.id);
  await run('readwrite', (store) => store.put({ ...record, done: record.done || Boolean(before?.done), updated: Date.now() }));
}

/** All records, by the lesson's name. */
export async function lessonRecords() {
  const records = await run('readonly', (store) => store.getAll());
  return new Map(Array.isArray(records) ? records.map((record) => [record.id, record]) : []);
}
