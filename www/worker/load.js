// Fetches and starts the simulation program, telling how far it is.
import init, { version } from '../wasm/page.js';

// A function that uses one vector instruction: valid only where 128-bit SIMD is known.
const SIMD_PROBE = new Uint8Array([
  0, 97, 115, 109, 1, 0, 0, 0, 1, 5, 1, 96, 0, 1, 123, 3, 2, 1, 0, 10, 10, 1, 8, 0, 65, 0, 253, 15, 253, 98, 11,
]);

/** Loads the program; calls `progress(loaded_bytes, total_bytes)`. Rejects with an Error whose `reason` is a text key. */
export async function load(progress) {
  if (!WebAssembly.validate(SIMD_PROBE)) throw reason('fail.simd', 'no 128-bit SIMD');
  const response = await fetch(new URL('../wasm/page_bg.wasm', import.meta.url)).catch((error) => {
    throw reason('fail.fetch', error.message);
  });
  if (!response.ok) throw reason('fail.fetch', `${response.status} ${response.url}`);
  const module = await WebAssembly.compileStreaming(counted(response, progress));
  const { memory } = await init({ module_or_path: module });
  return { memory, module, version: version() };
}

function counted(response, progress) {
  // With a content encoding the announced length is that of the packed bytes: then the total is unknown.
  const packed = response.headers.get('content-encoding');
  const total = packed ? 0 : Number(response.headers.get('content-length') ?? 0);
  let loaded = 0;
  const counter = new TransformStream({
    transform(chunk, controller) {
      loaded += chunk.byteLength;
      progress(loaded, total);
      controller.enqueue(chunk);
    },
  });
  return new Response(response.body.pipeThrough(counter), { headers: { 'content-type': 'application/wasm' } });
}

function reason(key, message) {
  const error = new Error(message);
  error.reason = key;
  return error;
}
