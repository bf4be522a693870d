// What is told after something was saved or refused: by name, with what was typed still there, and no longer than it holds.
import assert from 'node:assert/strict';
import { clean } from '../harness/clean.mjs';
import { address, journey } from '../harness/journey.mjs';
import { plateText } from '../harness/person.mjs';

const IN = {
  en: { seal: 'Seal it for an exam', own: /^Your passphrase/, sitting: 'Passphrase of the sitting', go: 'Seal and save', short: 'expected at least 8 characters', saved: 'is saved, among your downloads.', refused: 'It was refused.' },
  es: { seal: 'Sellarla para un examen', own: /^Tu contraseña/, sitting: 'Contraseña de la sesión', go: 'Sellar y guardar', short: 'se esperaba: 8 caracteres como mínimo', saved: 'está guardado, entre tus descargas.', refused: 'No se ha aceptado.' },
};

const file = async (name) => ({ name: `${name}.toml`, mimeType: 'text/plain', buffer: Buffer.from(await plateText(name)) });
const bad = { name: 'bad.toml', mimeType: 'text/plain', buffer: Buffer.from('no plate at all') };

async function place(page, lang, where, first) {
  await page.goto(`${address}?lang=${lang}#${where}`);
  await page.locator(first).waitFor({ state: 'attached' });
}

for (const [lang, words] of Object.entries(IN)) {
  journey(`passphrases that are refused stay to be corrected, and the sealed file is told by its name, ${lang}`, async ({ page, picture }) => {
    await place(page, lang, 'desk', '#desk-file');
    await page.locator('#desk-file').setInputFiles(await file('th-01'));
    await page.getByRole('button', { name: words.seal }).press('Enter');
    const dialog = page.getByRole('dialog', { name: words.seal });
    const fields = [words.own, words.sitting].map((name) => dialog.getByRole('textbox', { name }));
    await fields[0].fill('short');
    await fields[1].fill('low water at nine');
    await dialog.getByRole('checkbox').first().check();
    await dialog.getByRole('button', { name: words.go }).press('Enter');
    await dialog.getByRole('alert').filter({ hasText: words.short }).waitFor();
    await clean(page);
    await picture(`seal refused ${lang}`);
    assert.deepEqual(await Promise.all(fields.map((field) => field.inputValue())), ['short', 'low water at nine']);
    assert.equal(await dialog.getByRole('checkbox').first().isChecked(), true);
    assert.equal(await fields[0].evaluate((one) => one === document.activeElement), true, 'one may type at once');
    await fields[0].fill('the tern that returned');
    const [download] = await Promise.all([page.waitForEvent('download'), dialog.getByRole('button', { name: words.go }).press('Enter')]);
    await page.getByRole('status').filter({ hasText: `${download.suggestedFilename()} ${words.saved}` }).waitFor();
    assert.equal(await page.getByRole('alert').count(), 0);
    await picture(`sealed and told ${lang}`);
  });

  journey(`what failed is told no longer once something else is asked for, ${lang}`, async ({ page }) => {
    const failed = page.getByRole('alert').filter({ hasText: words.refused });
    // The start page: a bad file, then another place.
    await place(page, lang, 'start', '#plate-file');
    await page.locator('#plate-file').setInputFiles(bad);
    await failed.waitFor();
    await page.evaluate(() => { location.hash = '#mark'; });
    await page.locator('#mark-plate').waitFor({ state: 'attached' });
    await failed.waitFor({ state: 'detached' });
    // The marking desk: hand-ins for a plate that is none, then a plate.
    await page.locator('#mark-plate').setInputFiles(bad);
    await page.locator('#mark-works:enabled').setInputFiles({ ...bad, name: 'work.json' });
    await failed.waitFor();
    await page.locator('#mark-plate').setInputFiles(await file('th-01'));
    await failed.waitFor({ state: 'detached' });
    // A bad file once more, and a good one after it.
    await page.evaluate(() => { location.hash = '#start'; });
    await page.locator('#plate-file').setInputFiles(bad);
    await failed.waitFor();
    await page.locator('#plate-file').setInputFiles(await file('th-01'));
    await page.waitForFunction(() => globalThis.trialplate?.times());
    assert.equal(await failed.count(), 0);
  });
}
