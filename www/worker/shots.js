// What calls were made from: their pictures as files, for drawings and reports.

/** Addresses of the pictures, '' where there is none or where this browser draws nothing beside a page. */
export async function pictures(shots, memory) {
  const addresses = [];
  for (let index = 0; index < shots.count(); index++) {
    const [width, height] = shots.size_px(index);
    addresses.push(width && globalThis.OffscreenCanvas ? await address(shots.pointer(index), width, height, memory) : '');
  }
  return addresses;
}

/** The drawing of one call, or null. */
export async function figure(bench, index, { memory, words }) {
  const shots = bench.shots(index);
  try {
    return bench.shot_figure(words, index, shots, (await pictures(shots, memory))[index] ?? '') ?? null;
  } finally {
    shots.free();
  }
}

/** A flaw from each side at its best, as drawings. */
export async function sides(bench, flaw, { memory, words }) {
  const shots = bench.side_shots(flaw);
  try {
    return (await pictures(shots, memory)).flatMap((picture, index) => bench.side_figure(words, flaw, index, shots, picture) ?? []);
  } finally {
    shots.free();
  }
}

/** A report with them; `make(shots, pictures)` writes it. */
export async function reported(shots, memory, make) {
  try {
    return make(shots, await pictures(shots, memory));
  } finally {
    shots.free();
  }
}

async function address(pointer, width, height, memory) {
  const canvas = new OffscreenCanvas(width, height);
  // A copy: the memory may grow while the picture is packed.
  const pixels = new Uint8ClampedArray(memory.buffer, pointer, width * height * 4).slice();
  canvas.getContext('2d').putImageData(new ImageData(pixels, width, height), 0, 0);
  const png = await canvas.convertToBlob({ type: 'image/png' });
  return new FileReaderSync().readAsDataURL(png);
}
