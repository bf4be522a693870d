// Packs the sector images of "the model and its limits", drawn as PNG by the program, into WebP: a third of the bytes. The
// browser does it, as for the README's pictures. Run by `cargo xtask pictures` with the folder of the images and that of the page.
import { readFile, readdir, writeFile } from 'node:fs/promises';
import { join } from 'node:path';
import { browserFor, closeAll } from '../harness/browser.mjs';

/** Below this the speckle of the grain turns into blocks. */
const QUALITY = 0.75;

const [from, to] = process.argv.slice(2);
const browser = await browserFor({});
const page = await browser.newPage();
for (const name of await readdir(from)) {
  const png = await readFile(join(from, name), 'base64');
  const webp = await page.evaluate(packed, [png, QUALITY]);
  await writeFile(join(to, name.replace(/\.png$/, '.webp')), webp, 'base64');
}
await closeAll();

/** In the page: a PNG file as a WebP file, both in base 64. */
async function packed([png, quality]) {
  const image = new Image();
  image.src = `data:image/png;base64,${png}`;
  await image.decode();
  const canvas = document.createElement('canvas');
  canvas.width = image.width;
  canvas.height = image.height;
  canvas.getContext('2d').drawImage(image, 0, 0);
  return canvas.toDataURL('image/webp', quality).replace(/^[^,]*,/, '');
}
