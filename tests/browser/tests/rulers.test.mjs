// Rulers and axes of drawings are in the reader's unit, with round steps.
import assert from 'node:assert/strict';
import { asWritten } from '../harness/as-written.mjs';
import { address, journey } from '../harness/journey.mjs';
import { press, settled } from '../harness/person.mjs';

/** What a ruler of the page says in a unit: asked of its script alone. */
async function asked(page, unit) {
  await asWritten(page);
  await page.goto(`${address}?lang=en&units=${unit}`);
  return page.evaluate(async (home) => {
    const { axisTo, rulerMarks, tapeMarks } = await import(new URL('page/ruler.js', home));
    const words = (marks) => marks.map((mark) => mark.words);
    return { axes: [1.9, 0.9, 8, 240].map((mm) => words(axisTo(mm, 5).marks)), end_mm: axisTo(8, 5).end_mm,
      long: rulerMarks(0, 300, 2.3, 32), across: words(rulerMarks(-30, 30, 5, 38)), tape: words(tapeMarks(150, 3).numbers) };
  }, address);
}

journey('marks of rulers are round numbers in millimetres', async ({ page }) => {
  const { axes, end_mm, long, across, tape } = await asked(page, 'mm');
  assert.deepEqual(axes, [['0.0', '0.5', '1.0', '1.5', '2.0'], ['0.0', '0.5', '1.0'], ['0', '2', '4', '6', '8'], ['0', '50', '100', '150', '200', '250']]);
  assert.equal(end_mm, 8);
  assert.deepEqual(long.slice(0, 3), [{ mm: 0, words: '0' }, { mm: 20, words: '20' }, { mm: 40, words: '40' }]);
  assert.deepEqual(across, ['−30', '−20', '−10', '0', '10', '20', '30']);
  assert.deepEqual(tape, ['0', '20', '40', '60', '80', '100', '120', '140']);
});

journey('marks of rulers are round numbers in inches', async ({ page }) => {
  const { axes, end_mm, long, across, tape } = await asked(page, 'in');
  assert.deepEqual(axes, [['0.00', '0.02', '0.04', '0.06', '0.08'], ['0.00', '0.02', '0.04'], ['0.0', '0.1', '0.2', '0.3', '0.4'], ['0', '2', '4', '6', '8', '10']]);
  assert.ok(Math.abs(end_mm - 10.16) < 1e-9);
  assert.deepEqual(long.map((mark) => mark.words), ['0', '1', '2', '3', '4', '5', '6', '7', '8', '9', '10', '11']);
  for (const { mm, words } of long) assert.ok(Math.abs(mm - Number(words) * 25.4) < 1e-9, `${words} in at ${mm} mm`);
  assert.deepEqual(across, ['−1.0', '−0.5', '0.0', '0.5', '1.0']);
  assert.deepEqual(tape, ['0', '1', '2', '3', '4', '5']);
});

const numbers = (drawing) => drawing.locator('text').evaluateAll((all) => all.map((one) => one.textContent.trim()).filter((words) => /^[\d.,]+$/.test(words)));

for (const [unit, along, tape, thickness] of [['mm', ['0', '20', '40', '60', '80', '100', '120', '140', '160', '180', '200', '220', '240', '260', '280', '300'], ['0', '50', '100', '150', '200', '250', '300'], '20'],
  ['in', ['0', '1', '2', '3', '4', '5', '6', '7', '8', '9', '10', '11'], ['0', '2', '4', '6', '8', '10'], '0.787']]) {
  journey(`tapes of the bench and of the debrief are in ${unit}`, async ({ page, picture }) => {
    await page.goto(`${address}?lang=en&units=${unit}#bench?plate=th-07`);
    await page.waitForFunction(() => globalThis.trialplate?.times());
    await settled(page);
    assert.deepEqual(await numbers(page.locator('.tape-numbers')), along);
    await press(page, 'e', 'c');
    await page.getByRole('button', { name: 'Hand in', exact: true }).click();
    await page.getByRole('button', { name: 'Hand in now' }).click();
    await page.getByRole('heading', { level: 1, name: /^Debrief/ }).waitFor();
    const [above, side] = [page.locator('.drawing-top svg'), page.locator('.drawing-side svg')];
    await above.waitFor();
    assert.deepEqual((await numbers(above)).slice(0, tape.length), tape);
    assert.deepEqual((await numbers(side)).slice(0, tape.length + 2), ['0', thickness, ...tape]);
    await above.scrollIntoViewIfNeeded();
    await picture(`debrief in ${unit}`);
  }, { viewport: { width: 1440, height: 900 } });

  journey(`the plan of the plate maker is in ${unit}`, async ({ page, picture }) => {
    await page.goto(`${address}?lang=en&units=${unit}`);
    await page.getByRole('button', { name: 'Draw a plate' }).click();
    await page.getByText('No flaw yet').waitFor();
    await page.getByRole('button', { name: 'Add this flaw' }).press('Enter');
    const plan = page.getByRole('region', { name: /^Plate from above/ });
    await plan.getByRole('button', { name: /^Flaw 1/ }).waitFor();
    const marks = await numbers(plan.locator('svg > g').first());
    assert.deepEqual(marks.slice(0, 3), unit === 'mm' ? ['0', '20', '40'] : ['0', '1', '2']);
    assert.match(await plan.getByRole('button', { name: /^Flaw 1/ }).getAttribute('aria-label'), new RegExp(`\\d\\s${unit} along the weld, .*\\d\\s${unit} deep$`));
    await picture(`plate maker in ${unit}`);
  }, { viewport: { width: 1440, height: 900 } });
}
