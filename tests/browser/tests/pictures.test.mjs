// The README's pictures: each is there, small, told in words, of its size; and the page still has what they are taken of.
import assert from 'node:assert/strict';
import { mkdir, readdir, readFile } from 'node:fs/promises';
import { test } from 'node:test';
import { notInFirefox } from '../harness/browser.mjs';
import { journey } from '../harness/journey.mjs';
import { MOST_BYTES, SCENES, take } from '../pictures/scenes.mjs';

const ROOT = new URL('../../../', import.meta.url);
const OUT = new URL('../out/', import.meta.url);

/** Width and height in the head of a WebP file of the lossy kind (RFC 9649, 2.5 and 2.7). */
function sizeOf(bytes) {
  assert.equal(bytes.toString('latin1', 0, 4) + bytes.toString('latin1', 8, 12), 'RIFFWEBP');
  const kind = bytes.toString('latin1', 12, 16);
  if (kind === 'VP8X') return [bytes.readUIntLE(24, 3) + 1, bytes.readUIntLE(27, 3) + 1];
  assert.equal(kind, 'VP8 ');
  return [bytes.readUInt16LE(26) & 0x3fff, bytes.readUInt16LE(28) & 0x3fff];
}

test('the pictures of the README are those of the scenes, small and told in words', async () => {
  const readme = await readFile(new URL('README.md', ROOT), 'utf8');
  const shown = [...readme.matchAll(/!\[([^\]]*)\]\(docs\/pictures\/([\w-]+)\.webp\)/g)];
  const names = SCENES.map(({ name }) => name).sort();
  assert.deepEqual(shown.map(([, , name]) => name).sort(), names);
  assert.deepEqual((await readdir(new URL('docs/pictures/', ROOT))).sort(), names.map((name) => `${name}.webp`));
  for (const [, words, name] of shown) assert.ok(words.split(' ').length >= 8, `${name}: "${words}" does not tell what is to be seen`);
  for (const { name, width, height } of SCENES) {
    const bytes = await readFile(new URL(`docs/pictures/${name}.webp`, ROOT));
    assert.ok(bytes.length <= MOST_BYTES, `${name}.webp has ${bytes.length} bytes`);
    assert.deepEqual(sizeOf(bytes), [width, height], name);
  }
});

for (const { name, width, height, walk } of SCENES) {
  journey(`the page can still be pictured: ${name}`, async ({ page }) => {
    await walk(page);
    await mkdir(OUT, { recursive: true });
    const bytes = await take(page, new URL(`${name}.webp`, OUT));
    // An empty page packs into far less.
    assert.ok(bytes.length > 8000 && bytes.length <= MOST_BYTES, `${name}.webp would have ${bytes.length} bytes`);
    assert.deepEqual(sizeOf(bytes), [width, height]);
  }, { viewport: { width, height }, reducedMotion: 'reduce', colorScheme: 'light', skip: notInFirefox('the pictures are taken with Chromium') });
}
