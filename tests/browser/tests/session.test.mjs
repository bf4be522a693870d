// A session outlives the page; a link opens its plate; of many poses only the latest is computed.
import assert from 'node:assert/strict';
import { address, journey } from '../harness/journey.mjs';
import { choosePlate, firstPicture, placeAlong, press, settled } from '../harness/person.mjs';

/** Longer than the page waits between two savings. */
const SAVED_MS = 1500;

// How long it takes is told, not asserted: machines differ, and a busy one would fail. docs/bench.md keeps the time.
journey('a link opens its plate', async ({ page }) => {
  const start = performance.now();
  await page.goto(`${address}#bench?plate=th-07`);
  await firstPicture(page);
  console.log(`first picture after ${(performance.now() - start).toFixed(0)} ms`);
});

journey('a closed page is continued where it was', async ({ page, context }) => {
  await choosePlate(page, 'TH-07 · 20 mm, single V');
  await press(page, 'Shift+ArrowRight', 'Shift+ArrowRight', 'ArrowLeft', 's', 'e', 'c');
  await page.getByRole('button', { name: 'Done' }).press('Enter');
  const place = await placeAlong(page);
  await page.waitForTimeout(SAVED_MS);

  await page.reload();
  await firstPicture(page);
  assert.equal(await placeAlong(page), place);
  assert.equal(await page.getByRole('button', { name: /^Side B/ }).getAttribute('aria-pressed'), 'true');
  await page.getByRole('tab', { name: 'Answers 1' }).click();
  await page.getByRole('button', { name: /^Call 1/ }).waitFor();
  await page.close();

  const next = await context.newPage();
  await next.goto(address);
  await next.getByRole('button', { name: /^Continue / }).click();
  await firstPicture(next);
  assert.equal(await placeAlong(next), place);
  await next.getByRole('tab', { name: 'Answers 1' }).click();
  await next.getByRole('button', { name: /^Call 1/ }).waitFor();
});

journey('moving faster than frames are made queues none', async ({ page }) => {
  await choosePlate(page, 'TH-07 · 20 mm, single V');
  const start = await placeAlong(page);
  const frames = await page.evaluate(async () => {
    const { times } = globalThis.trialplate;
    let last = times();
    for (let i = 0; i < 100; i++) document.body.dispatchEvent(new KeyboardEvent('keydown', { key: 'ArrowRight', bubbles: true }));
    let count = 0;
    for (const limit = performance.now() + 1000; performance.now() < limit; ) {
      await new Promise((resolve) => setTimeout(resolve));
      if (times() !== last) count++;
      last = times();
    }
    return count;
  });
  await settled(page);
  assert.equal(await placeAlong(page), start + 100);
  assert.ok(frames >= 1 && frames <= 3, `${frames} frames for 100 moves at once`);
});

journey('the focus stays in the form of a call while it is filled in', async ({ page }) => {
  await choosePlate(page, 'TH-07 · 20 mm, single V');
  await press(page, 'e', 'c');
  const call = page.getByRole('group', { name: 'Call 1', exact: true });
  await call.getByRole('spinbutton', { name: 'Height' }).focus();
  await page.keyboard.type('3');
  await page.keyboard.press('Tab');
  await page.keyboard.type('faint');
  await settled(page);
  await page.keyboard.type(' but there');
  assert.equal(await call.getByRole('textbox', { name: 'Remark' }).inputValue(), 'faint but there');
});

journey('after handing in, the session is watched again along its time line', async ({ page, picture }) => {
  await choosePlate(page, 'TH-07 · 20 mm, single V');
  const start = await placeAlong(page);
  await press(page, 'Shift+ArrowRight', 'Shift+ArrowRight', 'Shift+ArrowRight');
  await page.waitForTimeout(600);
  await press(page, 'Shift+ArrowRight');
  const end = await placeAlong(page);
  await page.getByRole('button', { name: 'Hand in', exact: true }).click();
  await page.getByRole('button', { name: 'Hand in now' }).click();
  await page.getByRole('button', { name: 'Look at the plate once more' }).click();
  const again = page.getByRole('region', { name: 'Your session again' });
  const line = again.getByRole('slider', { name: 'Time of the session' });
  await line.waitFor();
  assert.equal(await placeAlong(page), end, 'the probe stays until the line is moved');
  await line.focus();
  await page.keyboard.press('Home');
  await page.keyboard.press('ArrowRight');
  await settled(page);
  assert.ok((await placeAlong(page)) < end, 'back to where it began');
  await picture('replay');
  await again.getByRole('combobox', { name: 'Speed' }).selectOption('16');
  await again.getByRole('button', { name: 'Play' }).press('Enter');
  await again.getByRole('button', { name: 'Play' }).waitFor();
  await settled(page);
  assert.equal(await placeAlong(page), end, 'and on to where it ended');
  assert.ok(end > start);
});
