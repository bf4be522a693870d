// Two gates, the lower face, the guide rail and the turn of the probe, as hands find them.
import assert from 'node:assert/strict';
import { clean } from '../harness/clean.mjs';
import { journey } from '../harness/journey.mjs';
import { choosePlate, firstPicture, press, reading, settled } from '../harness/person.mjs';

const PLATE = 'TH-07 · 20 mm, single V';
const field = (page, name) => page.getByRole('spinbutton', { name, exact: true });
const value = async (page, name) => Number(await field(page, name).inputValue());

/** Leaves a list or box, so that keys move the probe again. */
const leave = (page) => page.evaluate(() => document.activeElement.blur());

journey('a second gate reads beside the first, at peak or flank, with an alarm', async ({ page, picture }) => {
  await choosePlate(page, PLATE);
  await press(page, 'Shift+ArrowRight', 'e');
  const first = await reading(page);
  await page.getByRole('checkbox', { name: 'Use a second gate' }).check();
  // On the same stretch it reads the same.
  for (const name of ['start', 'length']) {
    const same = await value(page, name === 'start' ? 'Start' : 'Length');
    await field(page, `Second ${name}`).fill(String(same));
    await field(page, `Second ${name}`).press('Enter');
    await settled(page);
  }
  const second = page.getByRole('tabpanel', { name: 'Scan' }).locator('dl').filter({ hasText: 'Path from gate to gate' });
  await second.filter({ hasText: `${first.depth_mm.toFixed(1)} mm, ` }).waitFor();
  await second.filter({ hasText: 'Path from gate to gate0.0 mm' }).waitFor();
  await page.getByText('Gate 2: an echo reaches the threshold.').waitFor();
  // And so it stands beside the first, wherever that is read.
  const line = new RegExp(`Second gate: .*depth ${first.depth_mm.toFixed(1)}\\smm`);
  await page.getByRole('region', { name: 'Highest echo in the gate' }).getByText(line).waitFor();
  // The flank comes before the peak.
  await page.getByRole('combobox', { name: 'Second path read at' }).selectOption('the flank');
  await second.filter({ hasText: /Path from gate to gate−\d/ }).waitFor();
  await page.getByRole('checkbox', { name: 'Alarm to be heard as well' }).check();
  await settled(page);
  await picture('two gates');
  await leave(page);
  await page.getByRole('slider', { name: 'Second gate, start' }).focus();
  await press(page, 'ArrowUp', 'ArrowUp');
  assert.equal(await value(page, 'Second threshold'), 22);
  await clean(page);
});

journey('on the guide rail the probe keeps its distance; only its field moves it', async ({ page }) => {
  await choosePlate(page, PLATE);
  await page.getByRole('combobox', { name: 'Probe is moved' }).selectOption('along a guide rail');
  await leave(page);
  const rail = await value(page, 'Index offset');
  await press(page, 'ArrowUp', 'ArrowUp', 'ArrowRight');
  assert.equal(await value(page, 'Index offset'), rail);
  await field(page, 'Index offset').fill(String(rail - 4));
  await field(page, 'Index offset').press('Enter');
  await settled(page);
  assert.equal(await value(page, 'Index offset'), rail - 4);
  await page.getByRole('combobox', { name: 'Probe is moved' }).selectOption('by hand, freely');
  await leave(page);
  await press(page, 'ArrowUp');
  assert.equal(await value(page, 'Index offset'), rail - 5);
  // The session's log tells of both rails and of the hand.
  await page.getByRole('combobox', { name: 'Probe is moved' }).selectOption('along a guide rail');
  await settled(page);
  // Work is kept within a second.
  await page.waitForTimeout(1200);
  await page.reload();
  await firstPicture(page);
  assert.equal(await page.getByRole('combobox', { name: 'Probe is moved' }).inputValue(), 'rail', 'the rail is taken up with the session');
});

journey('the probe turns by key and by handle, and goes to the lower face', async ({ page, picture }) => {
  await choosePlate(page, PLATE);
  await press(page, 'r', 'r', 'r', 'Shift+R');
  assert.equal(await value(page, 'Skew'), 2);
  const handle = page.getByRole('slider', { name: 'Turn of the probe in degrees' });
  await handle.focus();
  await press(page, 'ArrowRight');
  assert.equal(await value(page, 'Skew'), 3);
  const box = await handle.locator('circle').last().boundingBox();
  const [x, y] = [box.x + box.width / 2, box.y + box.height / 2];
  await page.mouse.move(x, y);
  await page.mouse.down();
  await page.mouse.move(x + 12, y, { steps: 4 });
  await page.mouse.up();
  await settled(page);
  assert.ok(await value(page, 'Skew') > 10, 'the handle turns it');
  const before = await page.evaluate(() => globalThis.trialplate.digest());
  await page.getByRole('combobox', { name: 'Probe stands on the' }).selectOption('lower face');
  await settled(page);
  await page.getByRole('img', { name: /Section with the sound picture. Probe on side A, lower face/ }).waitFor();
  assert.notEqual(await page.evaluate(() => globalThis.trialplate.digest()), before);
  await picture('lower face');
});

journey('gain stands apart in the reference and what is above it; readings in dB count from the reference', async ({ page }) => {
  await choosePlate(page, PLATE);
  await press(page, 'Shift+ArrowRight', 'e', 'G');
  const over = field(page, 'Above the reference gain of 40.0 dB');
  for (const above of [6, -6, 2.5]) {
    await over.fill(String(above));
    await over.press('Enter');
    await settled(page);
    assert.equal(await value(page, 'Gain'), 40 + above);
  }
  await page.getByRole('button', { name: 'Reference gain', exact: true }).click();
  await settled(page);
  assert.equal(Number(await over.inputValue()), 0);
  await field(page, 'Threshold').fill('5');
  await field(page, 'Threshold').press('Enter');
  await settled(page);
  const [quiet, before] = [await reading(page), await value(page, 'Gain')];
  await field(page, 'Gain').fill(String(before - 6));
  await field(page, 'Gain').press('Enter');
  await settled(page);
  const lower = await reading(page);
  assert.ok(!quiet.clipped && lower.percent < quiet.percent, JSON.stringify([quiet, lower]));
  // The receiver's noise differs from frame to frame; 6 dB it does not.
  assert.ok(Math.abs(lower.db - quiet.db) < 1, JSON.stringify([quiet, lower]));
  assert.equal(Number(await over.inputValue()), -6);
});
