// An instructor looks at a plate: draws one, sees it grow, reads what each flaw shows, puts it on the bench.
import assert from 'node:assert/strict';
import { cleanInEveryLook, pictures } from '../harness/clean.mjs';
import { journey } from '../harness/journey.mjs';
import { overhang } from '../harness/overhang.mjs';
import { firstPicture, openStart, plateText } from '../harness/person.mjs';

async function openDesk(page) {
  await openStart(page);
  await page.getByRole('button', { name: 'Look at a plate' }).press('Enter');
  await page.getByRole('heading', { level: 1, name: 'Look at a plate before you hand it out' }).waitFor();
}

journey('a plate of level 3 with its table', async ({ page, picture }) => {
  await openDesk(page);
  await cleanInEveryLook(page);
  await page.getByRole('textbox', { name: 'Seed' }).fill('2026');
  const start = Date.now();
  await page.getByRole('button', { name: 'Draw it and look' }).press('Enter');
  await page.getByRole('progressbar').waitFor();
  await page.getByRole('heading', { name: 'What each flaw shows' }).waitFor();
  // Told, not asserted: machines differ.
  console.log(`a plate of level 3 with its table: ${Date.now() - start} ms`);
  assert.equal(await page.getByRole('progressbar').isVisible(), false);
  await page.getByText('It can be sat fairly').waitFor();
  const rows = await page.getByRole('row').allInnerTexts();
  assert.ok(rows.length > 4, `${rows.length} rows`);
  assert.ok(rows.slice(1).every((row) => /side [AB], (first|second|third) leg/.test(row) && /dB/.test(row)), rows.join('\n'));
  await cleanInEveryLook(page);
  await pictures(page, picture, 'plate desk');
  await page.setViewportSize({ width: 360, height: 740 });
  assert.equal(await overhang(page), 0, 'nothing is wider than the page');
  await pictures(page, picture, 'plate desk, 360');
  await page.getByRole('button', { name: 'Put it on the bench' }).press('Enter');
  await firstPicture(page);
}, { reducedMotion: 'reduce' });

journey('a bad seed and a bad file get a sentence, and a plate that cannot be sat says why', async ({ page }) => {
  await openDesk(page);
  await page.getByRole('textbox', { name: 'Seed' }).fill('minus one');
  await page.getByRole('button', { name: 'Draw it and look' }).press('Enter');
  await page.getByText('seed: minus one, expected a whole number from 0 to 9223372036854775807').waitFor();

  const text = await plateText('th-07');
  const quiet = text.replace('recording_level_db = -14.0', 'recording_level_db = 30.0');
  assert.notEqual(quiet, text);
  const file = (name, words) => ({ name, mimeType: 'text/plain', buffer: Buffer.from(words) });
  await page.getByLabel('Open a plate file').setInputFiles(file('quiet.toml', quiet));
  await page.getByText(/cannot be sat fairly as it is|recording_level_db/).first().waitFor();
  await page.getByLabel('Open a plate file').setInputFiles(file('broken.toml', text.replace('thickness_mm = 20.0', 'thickness_mm = 200.0')));
  await page.getByText(/broken\.toml:\d+: plate\.thickness_mm: 200 mm is out of range/).waitFor();
});
