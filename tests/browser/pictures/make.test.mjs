// Takes the README's pictures anew from the running page: run by `cargo xtask pictures`.
import assert from 'node:assert/strict';
import { journey } from '../harness/journey.mjs';
import { MOST_BYTES, SCENES, take } from './scenes.mjs';

const FOLDER = new URL('../../../docs/pictures/', import.meta.url);

for (const { name, width, height, walk } of SCENES) {
  journey(`picture: ${name}`, async ({ page }) => {
    await walk(page);
    const bytes = await take(page, new URL(`${name}.webp`, FOLDER));
    assert.ok(bytes.length <= MOST_BYTES, `${name}.webp has ${bytes.length} bytes, at most ${MOST_BYTES}`);
  }, { viewport: { width, height }, reducedMotion: 'reduce', colorScheme: 'light' });
}
