// Recordings kept in the browser, one file beside each attempt. A base of their own: they are large.

const STORE = 'files';
let opening = null;

function database() {
  opening ??= new Promise((resolve) => {
    try {
      const request = indexedDB.open('trialplate-recordings', 1);
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
    try {
      const transaction = base.transaction(STORE, mode);
      const request = work(transaction.objectStore(STORE));
      transaction.oncomplete = () => resolve(request.result ?? true);
      transaction.onerror = () => resolve(null);
      transaction.onabort = () => resolve(null);
    } catch {
      resolve(null);
    }
  });
}

/** Keeps the file of an attempt's recording; tells whether there was room. */
export const keepRecording = async (id, bytes) => (await run('readwrite', (store) => store.put({ id, bytes }))) !== null;
/** The file of an attempt's recording, or null. */
export const recallRecording = async (id) => (await run('readonly', (store) => store.get(id)))?.bytes ?? null;
/** Forgets an attempt's recording. */
export const forgetRecording = (id) => run('readwrite', (store) => store.delete(id));
