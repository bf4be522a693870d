// A class in which a sheet went round: one row for all who have it, whatever the language.
import assert from 'node:assert/strict';
import { clean } from '../harness/clean.mjs';
import { address, journey } from '../harness/journey.mjs';
import { plateText } from '../harness/person.mjs';

/** Ten calls where nothing is; `moved` of them a little elsewhere. */
const calls = (moved = 0) => Array.from({ length: 10 }, (_, k) => {
  const start_mm = 5 + 25 * k + (k < moved ? 1.3 : 0);
  return { start_mm, end_mm: start_mm + 6, offset_mm: 20 };
});
const file = (name, sheet) => ({ name, mimeType: 'application/json', buffer: Buffer.from(JSON.stringify({ calls: sheet })) });

journey('copies of one sheet stand in one row of the class', async ({ page, picture }) => {
  const copies = Array.from({ length: 6 }, (_, k) => `copy-${k}.json`);
  const works = [...copies.map((name) => file(name, calls())), file('changed.json', calls(1)),
    ...Array.from({ length: 14 }, (_, k) => file(`other-${k}.json`, []))];
  for (const [lang, title, plate, choose, row, equal] of [
    ['en', 'Answers worth a look', 'Choose the plate file', 'Choose the hand-ins', '7 files: ', '9 to 10'],
    ['es', 'Respuestas que merecen una mirada', 'Elige el archivo de chapa', 'Elige las entregas', '7 archivos: ', 'de 9 a 10']]) {
    await page.goto(`${address}?lang=${lang}#mark`);
    await page.getByLabel(plate).setInputFiles({ name: 'th-07.toml', mimeType: 'text/plain', buffer: Buffer.from(await plateText('th-07')) });
    await page.getByLabel(choose).setInputFiles(works);
    const table = page.getByRole('group', { name: title });
    await table.waitFor({ timeout: 60_000 });
    const rows = await table.locator('tbody tr').allInnerTexts();
    assert.equal(rows.length, 1, rows.join('\n'));
    assert.ok(rows[0].startsWith(row) && rows[0].endsWith(`\t${equal}`), rows[0]);
    for (const name of [...copies, 'changed.json']) assert.ok(rows[0].includes(name), name);
    await clean(page);
    await picture(`copies, ${lang}`);
  }
});
