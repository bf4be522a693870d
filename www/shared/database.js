// A database of the browser with one store of records by id. Works without storage, too: then nothing is there.

/** `run(mode, work)` does something with the store and resolves with its result, true without one, or null where it failed. */
export function database(name, store) {
  let opening = null;

  function opened() {
    opening ??= new Promise((resolve) => {
      try {
        const request = indexedDB.open(name, 1);
        request.onupgradeneeded = () => request.result.createObjectStore(store, { keyPath: 'id' });
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

  // Why the last attempt at writing failed: the name of the browser's error.
  const run = async (mode, work) => {
    const base = await opened();
    if (!base) return null;
    return new Promise((resolve) => {
      try {
        const transaction = base.transaction(store, mode);
        const request = work(transaction.objectStore(store));
        transaction.oncomplete = () => resolve(request.result ?? true);
        transaction.onerror = () => resolve(null);
        transaction.onabort = () => {
          run.trouble = transaction.error?.name ?? null;
          resolve(null);
        };
      } catch (error) {
        // A database that the browser closed meanwhile.
        run.trouble = error.name;
        resolve(null);
      }
    });
  };
  run.trouble = null;
  return run;
}
