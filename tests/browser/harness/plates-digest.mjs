// Draws plates by the page's wasm and tells their digest: the work of a thread of its own.
import { readFile } from 'node:fs/promises';
import { parentPort, workerData } from 'node:worker_threads';

const WASM = new URL('../../../dist/wasm/', import.meta.url);
const { initSync, plates_digest } = await import(new URL('page.js', WASM));
initSync({ module: await readFile(new URL('page_bg.wasm', WASM)) });
parentPort.postMessage(plates_digest(workerData));
