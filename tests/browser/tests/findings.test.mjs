// What new students stumbled over stays mended.
import assert from 'node:assert/strict';
import { journey } from '../harness/journey.mjs';
import { choosePlate, openStart, press, settled } from '../harness/person.mjs';

const PLATE = 'TH-07 · 20 mm, single V';
const inSight = (locator) => locator.evaluate((element) => {
  const { top, bottom } = element.getBoundingClientRect();
  const middle = (top + bottom) / 2;
  return middle > 0 && middle < innerHeight;
});

journey('the next step waits for both ends of a call', async ({ page }) => {
  await choosePlate(page, PLATE);
  await press(page, 'Shift+ArrowRight', 'Shift+ArrowRight', 'e', 'c', 'ArrowLeft', '[');
  await page.getByText(/^Call 1: the start is set/).waitFor();
  await press(page, 'ArrowRight', 'ArrowRight', ']');
  await page.getByText(/^Call 1: choose its kind/).waitFor();
});

journey('the procedure names the limits for accept and reject, also where the yard wrote it', async ({ page }) => {
  await choosePlate(page, 'TH-01 · 16 mm, single V');
  await page.getByRole('button', { name: 'Written procedure' }).click();
  const drawer = page.getByRole('dialog', { name: 'Written procedure' });
  await drawer.getByText(/volumetric ones when longer than 10(?:\.0)?\smm or higher than 3(?:\.0)?\smm/).waitFor();
  await drawer.getByRole('button', { name: 'Close' }).click();
  await drawer.waitFor({ state: 'hidden' });
});

journey('peak memory has its place from the start, and the section keeps its scale', async ({ page }) => {
  await choosePlate(page, PLATE);
  const memory = page.getByRole('group', { name: 'Peak memory of the gate' });
  const stage = page.getByRole('img', { name: /^Section .*with the sound picture/ });
  const before = await stage.boundingBox();
  assert.ok(await inSight(memory), 'in sight at once');
  await press(page, 'e', 'ArrowRight', 'ArrowRight', 'ArrowRight', 'ArrowRight');
  await memory.getByText('Go on until the echo has dropped').waitFor();
  const after = await stage.boundingBox();
  assert.deepEqual([after.width, after.height], [before.width, before.height]);
}, { viewport: { width: 1440, height: 900 } });

journey('on a phone plate, section and open call are in sight together', async ({ page, picture }) => {
  await choosePlate(page, PLATE);
  await press(page, 'e', 'c');
  const call = page.getByRole('group', { name: 'Call 1', exact: true });
  await call.waitFor();
  await settled(page);
  await page.waitForTimeout(300);
  await picture('phone, open call');
  for (const [what, there] of [['plate', page.getByRole('slider', { name: 'Probe, place along the weld' })],
    ['section', page.getByRole('img', { name: /^Section .*with the sound picture/ })], ['kind', call.getByRole('combobox', { name: 'Kind' })]]) {
    assert.ok(await inSight(there), `${what} is in sight`);
  }
}, { viewport: { width: 360, height: 740 } });

journey('after handing in, the bench shows where the flaws are', async ({ page }) => {
  await choosePlate(page, PLATE);
  assert.equal(await page.getByText('Show where the flaws are').isVisible(), false);
  await page.getByRole('button', { name: 'Hand in', exact: true }).click();
  await page.getByRole('button', { name: 'Hand in now' }).click();
  await page.getByRole('button', { name: 'Take me to flaw 1' }).click();
  await settled(page);
  const flaws = page.locator('.truth-mark > title');
  await flaws.first().waitFor({ state: 'attached' });
  assert.ok((await flaws.allTextContents()).some((words) => words.startsWith('Flaw 1: ')));
  await page.getByRole('checkbox', { name: 'Show where the flaws are' }).uncheck();
  await settled(page);
  assert.equal(await flaws.count(), 0);
});

journey('the buttons of a long dialog are in sight', async ({ page }) => {
  await openStart(page);
  await page.getByRole('button', { name: 'Help', exact: true }).click();
  await page.getByRole('radio', { name: 'Keys' }).check();
  assert.ok(await inSight(page.getByRole('dialog').getByRole('button', { name: 'Close' })));
}, { viewport: { width: 1024, height: 500 } });

for (const scale of [1.5, 3]) {
  journey(`drawings stay sharp at ${scale} device pixels, without motion and in forced colours`, async ({ page, picture }) => {
    await choosePlate(page, PLATE);
    assert.equal(await page.evaluate(() => getComputedStyle(document.documentElement).scrollBehavior), 'auto', 'no motion that nobody asked for');
    assert.equal(await page.evaluate(() => matchMedia('(forced-colors: active)').matches), true);
    // Lines and letters are drawn by the browser itself, at whatever density; the picture of the sound keeps its own samples.
    for (const one of ['.plan-drawing', '.section-above', '.trace-drawing']) {
      assert.equal(await page.locator(one).first().evaluate((element) => element instanceof SVGElement), true);
    }
    await picture(`forced colours, ${scale}`);
  }, { deviceScaleFactor: scale, forcedColors: 'active', reducedMotion: 'reduce' });
}
