// Attempts kept in the browser: one record each, never one slot for all. Works without storage, too.

const STORE = 'attempts';
let opening = null;

function database() {
  opening ??= new Promise((resolve) => {
    try {
      const request = indexedDB.open('trialplate', 1);
      request.onupgradeneeded = () => request.result.createObjectStore(STORE, { keyPath: 'id' });
      request.onsuccess = () => resolve(request.result);
      request.onerror = () => resolve(null);
      request.onblocked = () => resolve(null);
    } catch {
      // A frame without storage throws on the very access.
      resolve(null);
    }
  });
  return opening;
}

async function run(mode, work) {
  const base = await database();
  if (!base) return null;
  return new Promise((resolve) => {
    const transaction = base.transaction(STORE, mode);
    const request = work(transaction.objectStore(STORE));
    transaction.oncomplete = () => resolve(request.result ?? true);
    transaction.onerror = () => resolve(null);
    transaction.onabort = () => resolve(null);
  });
}

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
