// The main job by keyboard alone: start, plate, set-up, scan, call with its ends, size, recorded scan, hand in, debrief. After every
// action the focus is on something that is seen and has a name.
import assert from 'node:assert/strict';
import { address, journey } from '../harness/journey.mjs';
import { kept, tabTo } from '../harness/keyboard.mjs';
import { firstPicture, openStart, placeAlong, press, reading, settled, truth } from '../harness/person.mjs';

const status = (page, words) => page.getByRole('status').filter({ hasText: words }).first().waitFor({ timeout: 60_000 });

/** Presses keys; the focus stays with somebody. */
async function act(page, ...keys) {
  for (const key of keys) {
    await press(page, key);
    await kept(page, key);
  }
}

/** Moves on until the echo in the gate has fallen by half, and sets the end there. */
async function endBy(page, step, mark, top_db) {
  for (let i = 0; i < 30; i++) {
    await press(page, step);
    const echo = await reading(page);
    if (!echo || echo.db <= top_db - 6) break;
  }
  await act(page, mark);
}

journey('from the start page to the debrief without a pointer', async ({ page, picture }) => {
  const { flaw: flaws } = await truth('th-07');
  const flaw = flaws.find(({ kind }) => kind === 'lack-of-side-wall-fusion');
  const middle_mm = flaw.start_mm + flaw.length_mm / 2;
  await openStart(page);
  await tabTo(page, 'Scan this plate: TH-07 · 20 mm, single V');
  await page.keyboard.press('Enter');
  await firstPicture(page);
  assert.equal((await kept(page, 'the plate')).name, 'Bench');

  // Scan, gate, call, ends.
  while ((await placeAlong(page)) < middle_mm - 5) await act(page, 'Shift+ArrowRight');
  while ((await placeAlong(page)) < middle_mm) await press(page, 'ArrowRight');
  await act(page, 'e');
  while ((await reading(page)).clipped) await press(page, 'Shift+G', 'Shift+G');
  const top = await reading(page);
  assert.ok(Math.abs(top.depth_mm - flaw.place.bevel.depth_mm) < 2.5, `depth ${top.depth_mm} mm`);
  await act(page, 'c');
  await endBy(page, 'ArrowLeft', '[', top.db);
  while ((await placeAlong(page)) < middle_mm) await press(page, 'ArrowRight');
  await endBy(page, 'ArrowRight', ']', top.db);

  // The number of a panel pressed once more leads into it; Enter keeps the field, and the keys of the bench act again.
  await act(page, '5', '5');
  await tabTo(page, 'Kind');
  await page.keyboard.type('Lack of si');
  await tabTo(page, 'Decision', { most: 1 });
  await act(page, 'ArrowDown');
  await tabTo(page, 'Height', { most: 9 });
  await page.keyboard.type(String(flaw.height_mm));
  await act(page, 'Enter');
  const before = await placeAlong(page);
  await act(page, 'ArrowRight');
  assert.equal(await placeAlong(page), before + 1);
  assert.match((await kept(page, 'an arrow')).name, /^Height/);
  await act(page, 'Escape');
  assert.equal((await kept(page, 'Escape')).name, 'Probe, place along the weld');
  await picture('keyboard only, called');

  // Another kind of scan and back, with an echo in the gate of the beams that go.
  await act(page, 'e', '2', '2');
  await tabTo(page, 'Kind of scan');
  await act(page, 'ArrowDown');
  await status(page, 'The new set-up is in use');
  await act(page, 'ArrowUp');
  await status(page, 'As the procedure says');

  // Record the piece of weld and size at its cursor: [ and ] are the cursor's there, not the probe's.
  await act(page, 'Escape', '4', '4');
  for (const [name, mm] of [['From', flaw.start_mm - 14], ['To', flaw.start_mm + flaw.length_mm + 14]]) {
    await tabTo(page, name, { most: 2 });
    await page.keyboard.type(String(mm));
  }
  await tabTo(page, 'Record along the weld', { most: 12 });
  await act(page, 'Enter');
  await status(page, /^\d+ lines recorded in/);
  assert.equal(await page.getByText(/lines, almost done/).count(), 0, 'nothing is under way any more');
  await page.waitForFunction(() => document.activeElement.textContent === 'Look at it');
  await act(page, 'Enter');
  const cursor = async () => Number((await kept(page, 'the view')).name.match(/Cursor at (\d+\.\d) mm along the weld, −/)?.[1]);
  const highest_mm = await cursor();
  assert.ok(Math.abs(highest_mm - middle_mm) < flaw.length_mm / 2, `the cursor is at ${highest_mm} mm`);
  await status(page, /Recorded scan from above.* Echo about \d+ percent/);
  await act(page, 'ArrowRight', '[');
  assert.equal(await cursor(), highest_mm + 1);
  await status(page, `Call 1 starts at ${highest_mm + 1}.0 mm.`);
  await act(page, 'Control+z');
  await status(page, 'Undo. Calls on the sheet: 1');
  await act(page, '<', 'ArrowDown', 'ArrowDown', '>');
  await status(page, /^Tips at /);
  await tabTo(page, 'Start and end into the call');
  await act(page, 'Enter');
  await status(page, /^Goes into call 1\. 1\d\d–1\d\d\smm along/);
  await picture('keyboard only, recorded');
  // The other panel takes the focus along, and so does the live picture.
  await act(page, '5');
  assert.match((await kept(page, '5')).name, /^Answers/);
  await act(page, 'Escape', 'v');
  await act(page, 'v');
  assert.match((await kept(page, 'the recorded scan')).name, /^Recorded scan from above/);
  // What has the focus goes out of sight: the nearest thing that is left takes it.
  await act(page, 'v');
  assert.equal((await kept(page, 'the live picture')).name, 'Probe, place along the weld');

  await tabTo(page, 'Hand in', { key: 'Shift+Tab' });
  await act(page, 'Enter');
  await page.getByRole('dialog', { name: 'Hand in the answer sheet?' }).waitFor();
  await tabTo(page, 'Hand in now', { most: 4 });
  await page.keyboard.press('Enter');
  await page.getByRole('heading', { level: 1, name: /^Debrief/ }).waitFor();
  assert.match((await kept(page, 'handing in')).name, /^Debrief/);
  assert.equal(await page.getByRole('listitem').filter({ hasText: /^Hit/ }).count(), 1);
  const n = flaws.indexOf(flaw) + 1;
  await tabTo(page, `Show me flaw ${n} from both sides`);
  await page.keyboard.press('Enter');
  await page.getByText(/^Side [AB] at its best/).first().waitFor();
  await tabTo(page, `Take me to flaw ${n}`, { key: 'Shift+Tab', most: 3 });
  await page.keyboard.press('Enter');
  await firstPicture(page);
  await settled(page);
  assert.equal((await kept(page, 'at the flaw')).name, 'Bench');
  const live = await reading(page);
  assert.ok(live?.clipped || live?.db > top.db - 3, `its echo is in the gate, and live: ${JSON.stringify(live)}, before ${JSON.stringify(top)}`);
  await tabTo(page, 'Play');
  await act(page, 'Enter', 'Enter');
  await tabTo(page, 'Back to the marks', { key: 'Shift+Tab' });
  await page.keyboard.press('Enter');
  await page.getByRole('heading', { level: 1, name: /^Debrief/ }).waitFor();
  assert.equal((await kept(page, 'back')).name, `Take me to flaw ${n}`, 'back to where one left');
}, { viewport: { width: 1440, height: 900 }, reducedMotion: 'reduce' });

journey('on a phone nothing that has the focus lies under the foot, and a call that is done leaves it there', async ({ page, picture }) => {
  await page.goto(`${address}?lang=en#bench?plate=th-07`);
  await firstPicture(page);
  await tabTo(page, 'Call this echo');
  await act(page, 'e', 'c');
  await tabTo(page, 'Kind', { key: 'Shift+Tab' });
  await picture('keyboard only, phone');
  await tabTo(page, 'Done', { most: 12 });
  await act(page, 'Enter');
  assert.equal((await kept(page, 'Done')).name, 'Call this echo');
}, { viewport: { width: 360, height: 740 }, colorScheme: 'dark', reducedMotion: 'reduce' });
