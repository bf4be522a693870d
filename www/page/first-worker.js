// Starts the simulation before the rest of the page has come: both load side by side.

const start = () => new Worker(new URL('../worker/worker.js', import.meta.url), { type: 'module' });

let first = start();
/** What the first worker said before anyone listened. */
const said = [];
first.onmessage = (event) => said.push(event);
first.onerror = (event) => said.push(event);

/** A worker: the one already started, later a new one. `hear` and `fail` get its messages and errors, all of them. */
export function worker(hear, fail) {
  const given = first ?? start();
  const before = first ? said.splice(0) : [];
  first = null;
  given.onmessage = hear;
  given.onerror = fail;
  for (const event of before) (event.type === 'error' ? fail : hear)(event);
  return given;
}
