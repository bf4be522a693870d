// Recordings as .npz files: packed piece by piece, so that the live picture goes on.
import { Scan } from '../wasm/page.js';
import { turn } from './turn.js';

/** The file that `saving` makes of a scan; `same()` tells whether the scan is still as it was when saving began. */
export async function packed(saving, scan, same) {
  const pieces = [];
  try {
    for (let piece = saving.step(scan); piece; piece = saving.step(scan)) {
      pieces.push(piece);
      await turn();
      if (!same()) throw Object.assign(new Error('changed'), { reason: 'record.file.changed' });
    }
  } finally {
    saving.free();
  }
  return new Blob(pieces, { type: 'application/zip' });
}

/** The scan that a file holds. */
export const unpacked = async (file) => Scan.from_npz(new Uint8Array(await file.arrayBuffer()));
