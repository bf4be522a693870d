// Makes shares of the tables of a set-up beside the worker that wants them.
import { initSync, table_share } from '../wasm/page.js';

onmessage = ({ data: { module, order, index, count } }) => {
  try {
    if (module) {
      initSync({ module });
      return;
    }
    const bytes = table_share(order, index, count);
    postMessage(bytes, [bytes.buffer]);
  } catch {
    // Too little memory, above all: who wanted the share makes it.
    postMessage(null);
  }
};
