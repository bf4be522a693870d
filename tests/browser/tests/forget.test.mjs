// What is forgotten by mistake comes back, with all that was done on it.
import assert from 'node:assert/strict';
import { clean } from '../harness/clean.mjs';
import { journey } from '../harness/journey.mjs';
import { choosePlate, firstPicture, openStart, press } from '../harness/person.mjs';

for (const [lang, words] of [['en', { forget: /^Forget /, undo: /^Undo: .* comes back$/ }], ['es', { forget: /^Olvidar /, undo: /^Deshacer: .* vuelve$/ }]]) {
  journey(`a plate that was forgotten comes back by undo, with its calls and its recording, ${lang}`, async ({ page, picture }) => {
    await choosePlate(page, 'TH-07 · 20 mm, single V');
    await press(page, 'e', 'c', 'Escape');
    await page.getByRole('tab', { name: 'Recording' }).press('Enter');
    await page.getByRole('tabpanel', { name: 'Recording' }).getByLabel('To', { exact: true }).fill('10');
    await page.getByRole('button', { name: 'Record along the weld' }).press('Enter');
    await page.getByText(/^Kept in this browser/).waitFor();
    await choosePlate(page, 'TH-01');
    await openStart(page);
    // The language is one that is chosen: the page comes anew, and with it the list.
    if (lang !== 'en') await page.goto(page.url().replace(/(\?.*)?(#.*)?$/, `?lang=${lang}`));
    const rows = page.getByRole('button', { name: words.forget });
    await rows.nth(1).waitFor();
    const names = async () => rows.evaluateAll((all) => all.map((one) => one.ariaLabel));
    const before = await names();
    assert.equal(before.length, 2);
    await rows.nth(1).press('Enter');
    const undo = page.getByRole('button', { name: words.undo });
    await undo.waitFor();
    assert.deepEqual(await names(), before.slice(0, 1));
    assert.equal(await undo.evaluate((one) => one === document.activeElement), true, 'the keys go to undo');
    await clean(page);
    await picture(`forgotten ${lang}`);
    await undo.press('Enter');
    await rows.nth(1).waitFor();
    assert.deepEqual(await names(), before, 'at its own place');
    assert.equal(await undo.count(), 0);
    // The same after all was loaded anew, and with all that was done.
    await page.reload();
    await rows.nth(1).waitFor();
    await page.locator('.earlier .continue').nth(1).press('Enter');
    await firstPictureOf(page, lang);
    assert.match(await page.getByRole('tab').last().innerText(), /1$/);
    await page.locator('input[name=shown][value=recorded]').waitFor();
  });
}

/** In any language: a frame has come. */
const firstPictureOf = (page, lang) => (lang === 'en' ? firstPicture(page) : page.waitForFunction(() => globalThis.trialplate?.times()));

journey('what was forgotten is gone once the place was left', async ({ page }) => {
  await choosePlate(page, 'TH-01');
  await openStart(page);
  await page.getByRole('button', { name: /^Forget / }).press('Enter');
  await page.getByRole('button', { name: /^Undo: / }).waitFor();
  await page.reload();
  await page.getByRole('heading', { level: 1, name: 'Trialplate' }).waitFor();
  await page.getByRole('button', { name: 'Lessons, step by step' }).first().waitFor();
  assert.equal(await page.getByRole('button', { name: /^(Undo: |Forget )/ }).count(), 0);
});
