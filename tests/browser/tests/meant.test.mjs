// What is shown is what is meant: calls and their ends come from the probe, or from the cursor while the recorded scan is shown.
import assert from 'node:assert/strict';
import { journey } from '../harness/journey.mjs';
import { choosePlate, placeAlong, press, settled } from '../harness/person.mjs';

const number = (words) => Number(words.replace('−', '-').match(/-?\d+(\.\d+)?/)?.[0]);

/** A recording of the first part of a plate, its highest echo under the cursor and the probe somewhere else. */
async function recorded(page) {
  await choosePlate(page, 'TH-07 · 20 mm, single V');
  await page.getByRole('tab', { name: 'Recording' }).press('Enter');
  const panel = page.getByRole('tabpanel', { name: 'Recording' });
  await panel.getByLabel('To', { exact: true }).fill('90');
  await panel.getByLabel('To', { exact: true }).press('Enter');
  await panel.getByRole('button', { name: 'Record along the weld' }).press('Enter');
  await page.getByText(/lines recorded in/).waitFor({ timeout: 60_000 });
  await page.getByText(/Heard in pass/).waitFor();
  await settled(page);
}

const cursorAlong = async (page) => number((await page.getByRole('group', { name: /^Recorded scan from above/ }).getAttribute('aria-label')).match(/Cursor at (\S+)/)[1]);
const field = async (form, name) => number(await form.getByLabel(name, { exact: true }).inputValue());

/** Puts the cursor at a line of the weld, by the views' own keys. */
async function cursorTo(page, y_mm) {
  const above = page.getByRole('group', { name: /^Recorded scan from above/ });
  const steps = y_mm - await cursorAlong(page);
  for (let i = 0; i < Math.abs(steps); i++) await above.press(steps > 0 ? 'ArrowRight' : 'ArrowLeft');
  await page.waitForFunction((mm) => document.querySelector('[aria-label^="Recorded scan from above"]').ariaLabel.includes(`Cursor at ${mm.toFixed(1)}`), y_mm);
}

journey('buttons and keys mean the cursor while the recorded scan is shown, and the probe when it is live', async ({ page, picture }) => {
  await recorded(page);
  const views = page.getByRole('region', { name: 'Recorded scan' });
  // Cap and root, which run along the whole weld, are left out.
  await views.getByLabel('Depth to', { exact: true }).fill('15');
  await views.getByLabel('Depth to', { exact: true }).press('Enter');
  await settled(page);
  await views.getByRole('button', { name: 'Go to the highest echo' }).press('Enter');
  await settled(page);
  const [probe, top] = [await placeAlong(page), await cursorAlong(page)];
  assert.notEqual(probe, top);
  // The card of the reading says what its button calls.
  const card = page.getByRole('region', { name: 'At the cursor' });
  const depth = (of) => of.locator('dl > div', { has: page.getByText('Depth', { exact: true }) }).getByRole('definition').innerText();
  assert.equal(await depth(card), await depth(views));
  assert.equal(await page.getByRole('button', { name: 'Gate on next echo' }).count(), 0);
  await picture('reading at the cursor');
  await card.getByRole('button', { name: 'Call this echo' }).click();
  const form = page.getByRole('tabpanel', { name: /^Answers/ }).getByRole('group', { name: 'Call 1' });
  await form.waitFor();
  assert.ok(Math.abs(await field(form, 'Depth') - number(await depth(views))) < 0.11);
  const [start, end] = [await field(form, 'Start'), await field(form, 'End')];
  assert.ok(start <= top && top <= end && end > start, `from ${start} to ${end}, the cursor at ${top}`);

  await cursorTo(page, 50);
  await form.getByRole('button', { name: 'Starts here' }).click();
  await settled(page);
  assert.equal(await field(form, 'Start'), 50);
  await cursorTo(page, 66);
  await form.getByRole('button', { name: 'Ends here' }).click();
  await settled(page);
  assert.equal(await field(form, 'End'), 66);
  // The keys mean the same wherever the focus is.
  await cursorTo(page, 63);
  await page.getByRole('tab', { name: /^Answers/ }).focus();
  await press(page, ']');
  await page.getByText(/^Call 1 ends at 63\.0\s*mm/).waitFor();
  assert.equal(await field(form, 'End'), 63);
  // A new call has the ends of the echo that is there, not those of the place that was sized before.
  await cursorTo(page, 30);
  await page.getByRole('tab', { name: /^Answers/ }).focus();
  await press(page, 'c');
  const second = page.getByRole('group', { name: 'Call 2' });
  await second.getByRole('button', { name: 'Place from the cursor' }).waitFor();
  const ends = [await field(second, 'Start'), await field(second, 'End')];
  assert.ok(ends[0] <= 30 && 30 <= ends[1], `from ${ends.join(' to ')}, the cursor at 30`);

  // Live again: the same buttons mean the probe and its gate.
  await page.getByRole('radio', { name: 'Live' }).press('Space');
  await page.getByRole('region', { name: 'Highest echo in the gate' }).getByRole('button', { name: 'Gate on next echo' }).waitFor();
  await second.getByRole('button', { name: 'Place from the gate' }).waitFor();
  await second.getByRole('button', { name: 'Starts here' }).click();
  await settled(page);
  assert.equal(await field(second, 'Start'), await placeAlong(page));
}, { reducedMotion: 'reduce' });

journey('every key acts on what is shown: on the recorded scan, or not at all and says so', async ({ page }) => {
  await recorded(page);
  const views = page.getByRole('region', { name: 'Recorded scan' });
  const shown = (name) => views.getByLabel(name, { exact: true });
  const top = await cursorAlong(page);
  await cursorTo(page, top + 9);
  // The focus is elsewhere, and the hand with its gate in sight.
  await page.getByRole('tab', { name: /^Scan/ }).press('Enter');
  const hand = page.getByRole('tabpanel', { name: /^Scan/ });
  const inHand = () => hand.locator('input').evaluateAll((all) => all.map((one) => one.value));
  const before = await inHand();
  assert.ok(before.length > 8);

  await press(page, 'e');
  await page.waitForFunction((mm) => document.querySelector('[aria-label^="Recorded scan from above"]').ariaLabel.includes(`Cursor at ${mm.toFixed(1)}`), top);
  await page.getByRole('status').getByText(`Cursor at ${top.toFixed(1)}`).waitFor();
  const gain = number(await shown('Gain shown').inputValue());
  await press(page, 'g', 'g', 'Shift+G');
  assert.equal(number(await shown('Gain shown').inputValue()), gain + 1);
  await press(page, 'l', 'l');
  assert.equal(await shown('Legs shown').inputValue(), '2');
  await press(page, 'l', 'l');
  assert.equal(await shown('Legs shown').inputValue(), '');
  await press(page, '.');
  await page.getByText('No sound path is chosen here').waitFor();
  await shown('Sound path from').fill('20');
  await shown('Sound path from').press('Enter');
  // At the end of the range it goes no farther.
  await press(page, 'Escape', '.', '.', ',');
  assert.equal(number(await shown('Sound path from').inputValue()), 19.5);
  await shown('Sound path to').fill('60');
  await shown('Sound path to').press('Enter');
  await press(page, 'Escape', '.', '.', ',');
  assert.deepEqual([number(await shown('Sound path from').inputValue()), number(await shown('Sound path to').inputValue())], [20, 60.5]);
  for (const key of ['n', 'b', 'f', 'm', 't']) {
    await page.evaluate(() => document.querySelectorAll('.toast').forEach((one) => { one.textContent = ''; }));
    await press(page, key);
    await page.getByText('That key is for the live pictures').waitFor();
  }
  assert.deepEqual(await inHand(), before);
  await page.getByRole('radio', { name: 'Live' }).press('Space');
  assert.ok(await page.getByRole('radio', { name: 'In the plate' }).isChecked());
  assert.ok(await page.getByRole('radio', { name: 'All legs' }).isChecked());
  // Live again: the keys are those of the hand.
  await press(page, 'Escape', 'g');
  assert.notDeepEqual(await inHand(), before);
}, { reducedMotion: 'reduce' });

journey('the foot of a phone reads, calls and ends at the cursor while the recorded scan is shown', async ({ page, picture }) => {
  await recorded(page);
  const dock = page.locator('.dock');
  assert.match(await dock.locator('.dock-line').innerText(), new RegExp(`^At the cursor: ${(await cursorAlong(page)).toFixed(1)}\\s*mm · \\d+\\s*% · depth`));
  assert.equal(await dock.getByRole('button', { name: 'Gate on next echo' }).count(), 0);
  assert.equal(await dock.getByRole('group', { name: 'Move the probe by small steps' }).count(), 0);
  await dock.getByRole('button', { name: 'Call this echo' }).click();
  const form = dock.getByRole('group', { name: 'Call 1' });
  await form.waitFor();
  await cursorTo(page, 49);
  await picture('phone, call at the cursor');
  await dock.getByRole('button', { name: 'The last call ends here' }).click();
  await settled(page);
  assert.equal(await field(form, 'End'), 49);
  await form.getByRole('button', { name: 'Starts here' }).click();
  await settled(page);
  assert.equal(await field(form, 'Start'), 49);
}, { reducedMotion: 'reduce', viewport: { width: 360, height: 740 } });
