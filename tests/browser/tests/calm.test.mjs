// What stands out is what comes next, and nothing lies over it: buttons stay calm until their time, notices beside the form,
// keys are named where there are keys.
import assert from 'node:assert/strict';
import { address, journey } from '../harness/journey.mjs';
import { press, settled } from '../harness/person.mjs';

const stands = (element) => element.evaluate((one) => getComputedStyle(one).backgroundColor);
const open = async (page, hash = '#bench?plate=th-07') => {
  await page.goto(`${address}?lang=en${hash}`);
  await page.waitForFunction(() => globalThis.trialplate?.times());
  await settled(page);
};

journey('calling stands out only from the recording level, handing in only with a complete sheet', async ({ page }) => {
  await open(page);
  const call = page.getByRole('button', { name: 'Call this echo' });
  const handIn = page.getByRole('button', { name: 'Hand in', exact: true });
  const calm = await stands(handIn);
  await press(page, 'e');
  await page.getByText('Above the recording level of').waitFor();
  const gold = await stands(call);
  assert.notEqual(gold, calm);
  // The same echo under a gate that reads the grain beside it.
  const threshold = page.getByRole('spinbutton', { name: 'Threshold' }).first();
  await threshold.fill('1');
  await threshold.press('Enter');
  const start = page.getByRole('spinbutton', { name: 'Start' }).first();
  await start.fill('20');
  await start.press('Enter');
  await page.getByText('Below the recording level of').waitFor();
  await settled(page);
  assert.notEqual(await stands(call), gold);

  await press(page, 'Escape', 'e', 'c');
  assert.equal(await stands(handIn), calm, 'a call without kind and decision');
  await handIn.click();
  const dialog = page.getByRole('dialog');
  assert.equal(await stands(dialog.getByRole('button', { name: 'Back to the plate' })), gold);
  assert.notEqual(await stands(dialog.getByRole('button', { name: /^Hand in/ })), gold);
  await dialog.getByRole('button', { name: 'Back to the plate' }).click();
  await page.getByRole('combobox', { name: 'Kind' }).selectOption('slag-line');
  await page.getByRole('combobox', { name: 'Decision' }).selectOption('accept');
  await settled(page);
  assert.equal(await stands(handIn), calm, 'a call without length');
  const end = page.getByRole('group', { name: 'Call 1' }).getByLabel('End', { exact: true });
  await end.fill('45');
  await end.press('Enter');
  await page.waitForFunction((colour) => getComputedStyle(document.getElementById('hand-in')).backgroundColor === colour, gold);
  await handIn.click();
  assert.equal(await stands(dialog.getByRole('button', { name: /^Hand in/ })), gold);
}, { viewport: { width: 1440, height: 900 } });

journey('a notice leaves the form of the call free on a tablet, and no keys are named for fingers', async ({ page }) => {
  await open(page);
  await press(page, 'e', 'c');
  const box = async (element) => element.boundingBox();
  const notice = await box(page.getByText('Call 1 is on the sheet'));
  for (const button of await page.getByRole('group', { name: 'Call 1' }).getByRole('button').all()) {
    const one = await box(button);
    assert.ok(one.y >= notice.y + notice.height || one.y + one.height <= notice.y, await button.innerText());
  }
  const keys = await page.evaluate(() => [...document.querySelectorAll('.bench kbd')].filter((key) => key.checkVisibility()).map((key) => key.parentElement.textContent));
  assert.deepEqual(keys, []);
  await page.getByText('Drag the probe.').waitFor();
  await page.getByText('touch “Starts here”').first().waitFor();
}, { viewport: { width: 820, height: 1180 }, hasTouch: true });

journey('labels of the section keep clear of its depth scale on a phone, and a block has no place along a weld', async ({ page }) => {
  await open(page);
  await press(page, 'e');
  const [scale, ...labels] = await page.evaluate(() => ['.depth-scale', '.section-above .gate-name', '.section-above .reading-name']
    .map((one) => document.querySelector(one).getBoundingClientRect()).map(({ left, right }) => ({ left, right })));
  for (const label of labels) assert.ok(label.right <= scale.left, `${label.right} to ${scale.left} px`);
  await open(page, '#bench?block=radius-block');
  await page.locator('.dock-line').getByText('offset 1 mm').waitFor();
}, { viewport: { width: 360, height: 740 } });
