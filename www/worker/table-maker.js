// Makes shares of the tables of a set-up beside the worker that wants them.
import { initSync, table_share } from '../wasm/page.js';

onmessage = ({ data: { module, serial, order, index, count } }) => {
  if (module) {
    initSync({ module });
    return;
  }
  const bytes = table_share(order, index, count);
  postMessage({ serial, bytes }, [bytes.buffer]);
};
