// A reference block: opened from the start page, scanned by keyboard, its holes read where they are drawn.
import assert from 'node:assert/strict';
import { readFile } from 'node:fs/promises';
import { parse } from 'smol-toml';
import { clean } from '../harness/clean.mjs';
import { journey } from '../harness/journey.mjs';
import { firstPicture, openStart, press, reading, settled } from '../harness/person.mjs';

const FILE = new URL('../../../scenarios/blocks/radius-block.toml', import.meta.url);

journey('a hole of a block stands where the drawing has it', async ({ page, picture }) => {
  const { plate } = parse(await readFile(FILE, 'utf8'));
  await openStart(page);
  await page.getByRole('button', { name: /^Put it on the bench: Radii/ }).click();
  await firstPicture(page);
  assert.equal(await page.getByRole('button', { name: 'Hand in' }).isVisible(), false, 'nothing to hand in');
  await clean(page);

  await press(page, 's');
  let best = null;
  for (let i = 0; i < 9; i++) {
    await press(page, 'Shift+ArrowLeft', 'e');
    const echo = await reading(page);
    if (echo && (best === null || echo.db > best.db)) best = echo;
  }
  await settled(page);
  await picture('block');
  assert.ok(best, 'side B meets the row of holes');
  const hole = plate.block.hole.find(({ depth_mm, offset_mm }) =>
    Math.abs(depth_mm - best.depth_mm) < 2.5 && Math.abs(offset_mm - best.offset_mm) < 3.5);
  assert.ok(hole, `an echo at depth ${best.depth_mm}, ${best.offset_mm} mm from the middle, where no hole is drawn`);
});
