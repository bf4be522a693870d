// The ends of a call as they are typed: in any order, and never lost on the way.
import assert from 'node:assert/strict';
import { address, journey } from '../harness/journey.mjs';
import { press, settled } from '../harness/person.mjs';

const IN = {
  en: { add: 'Add a call by hand', start: 'Start', end: 'End', remark: 'Remark', swapped: /^The end of call 1 lay before its start/ },
  es: { add: 'Anotar a mano', start: 'Inicio', end: 'Fin', remark: 'Observación', swapped: /^El fin de la anotación 1 estaba antes de su inicio/ },
};

for (const [lang, words] of Object.entries(IN)) {
  journey(`ends typed the wrong way round change places once both are typed, and it is said, ${lang}`, async ({ page, picture }) => {
    await page.goto(`${address}?lang=${lang}#bench?plate=th-07`);
    await page.waitForFunction(() => globalThis.trialplate?.times());
    await page.getByRole('tab').last().click();
    await page.getByRole('button', { name: words.add }).click();
    const form = page.locator('.call-form');
    const [start, end, remark] = [words.start, words.end, words.remark].map((name) => form.getByLabel(name, { exact: true }));
    const ends = async () => [await start.inputValue(), await end.inputValue()].map((value) => Number(value.replace(',', '.')));

    // A start beyond the old end is on its way to a longer call: nothing happens to it, though it is entered and left for the end.
    await start.fill('100');
    await start.press('Enter');
    await settled(page);
    assert.equal((await ends())[0], 100);
    await end.fill('120');
    await remark.focus();
    await settled(page);
    assert.deepEqual(await ends(), [100, 120]);
    assert.equal(await page.getByText(words.swapped).count(), 0);

    // The wrong way round, they change places when both fields are left.
    await start.fill('80');
    await end.fill('60');
    await remark.focus();
    await page.getByText(words.swapped).waitFor();
    await picture(`ends changed places ${lang}`);
    await settled(page);
    assert.deepEqual(await ends(), [60, 80]);
    // It is an edit like others: one undo shows what was typed.
    await page.getByText(words.swapped).waitFor({ state: 'hidden' });
    await page.getByRole('tab').last().focus();
    await press(page, 'Control+z');
    assert.deepEqual(await ends(), [80, 60]);
  });
}
