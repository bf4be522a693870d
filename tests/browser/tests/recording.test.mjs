// A recorded scan by keyboard: recorded, looked at in every view, sized, called, and there again after a reload.
import assert from 'node:assert/strict';
import { readFile } from 'node:fs/promises';
import { cleanInEveryLook, pictures } from '../harness/clean.mjs';
import { journey } from '../harness/journey.mjs';
import { choosePlate, firstPicture, settled, truth } from '../harness/person.mjs';

const number = (words) => Number(words.replaceAll('−', '-').match(/-?\d+(\.\d+)?/)?.[0]);

/** What the list beside the views says under a word. */
const said = async (page, word) => page.getByRole('region', { name: 'Recorded scan' })
  .locator('dl > div', { has: page.getByText(word, { exact: true }) }).getByRole('definition').innerText();

const MADE_FROM = 'What this call was made from';

/** What the drawing under a call says, unfolded, with its picture there. */
async function unfolded(within) {
  await within.getByText(MADE_FROM).click();
  await within.locator('.shot svg image').first().waitFor({ state: 'attached' });
  return within.locator('.shot svg desc').first().textContent();
}

/** The call as it goes out in a file of answers. */
async function called(page) {
  await page.getByText('Answers as a file').click();
  const [download] = await Promise.all([page.waitForEvent('download'), page.getByRole('button', { name: 'Save as JSON' }).click()]);
  return JSON.parse(await readFile(await download.path(), 'utf8')).calls[0];
}

async function record(page, from_mm, to_mm) {
  await page.getByRole('tab', { name: 'Recording' }).press('Enter');
  const panel = page.getByRole('tabpanel', { name: 'Recording' });
  for (const [name, value] of [['From', from_mm], ['To', to_mm]]) {
    await panel.getByLabel(name, { exact: true }).fill(String(value));
    await panel.getByLabel(name, { exact: true }).press('Enter');
  }
  await panel.getByRole('button', { name: 'Record along the weld' }).press('Enter');
  return panel;
}

journey('a scan is recorded, looked at, sized and called by keyboard', async ({ page, picture }) => {
  const { length_mm } = await truth('th-07');
  await choosePlate(page, 'TH-07 · 20 mm, single V');
  const panel = await record(page, 0, length_mm);
  await panel.getByText(/lines, about \d+:\d+ left/).waitFor();
  await pictures(page, picture, 'recording');
  await page.getByText(/lines recorded in/).waitFor({ timeout: 60_000 });
  assert.match(await panel.getByText(/^Pass 1/).innerText(), new RegExp(`side A.*0 to ${length_mm}\u00a0mm, ${length_mm + 1} lines\\.$`));
  await panel.getByText(/^Kept in this browser/).waitFor();
  await page.getByText(/Heard in pass/).waitFor();

  // The highest echo of the whole scan is that of a flaw, or of cap and root, which run along; it has a place.
  const views = page.getByRole('region', { name: 'Recorded scan' });
  const above = views.getByRole('group', { name: /^Recorded scan from above/ });
  await above.focus();
  const before = number(await said(page, 'Along the weld'));
  await above.press('Shift+ArrowRight');
  await above.press('ArrowRight');
  await page.waitForFunction((mm) => document.querySelector('[aria-label^="Recorded scan from the side"]').ariaLabel.includes(`${mm.toFixed(1)}\u00a0mm along`), before + 11);
  assert.equal(number(await said(page, 'Along the weld')), before + 11, 'the cursors of all views go together');
  await above.press('PageUp');
  await page.waitForFunction((mm) => document.querySelector('[aria-label^="Recorded scan from above"]').ariaLabel.includes(`${mm.toFixed(1)}\u00a0mm along`), before + 10);

  // By depth, with gain and leg; then a call from the place of the first flaw.
  await views.getByLabel('Colour says').selectOption('depth');
  await views.getByLabel('Colour says').selectOption('amplitude');
  await settled(page);
  await pictures(page, picture, 'recorded scan');
  await cleanInEveryLook(page, 'recorded scan');
  await above.press('Home');
  await page.getByText(/Heard in pass/).waitFor();
  await views.getByRole('button', { name: 'Call this place' }).press('Enter');
  const sheet = page.getByRole('tabpanel', { name: /^Answers/ });
  await sheet.getByRole('group', { name: 'Call 1' }).waitFor();
  const depth = number(await said(page, 'Depth'));
  assert.ok(Math.abs(Number(await sheet.getByLabel('Depth', { exact: true }).inputValue()) - depth) < 0.11);

  // The pictures are live again, and the recording is there after a reload.
  await page.getByRole('radio', { name: 'Live' }).press('Space');
  await page.getByRole('img', { name: /^Section with the sound picture/ }).waitFor();
  await page.reload();
  await firstPicture(page);
  await page.getByRole('radio', { name: 'Recorded scan' }).press('Space');
  await page.getByText(/Heard in pass/).waitFor();
  assert.equal(number(await said(page, 'Depth')), depth);

  // What the call was made from is that line's frame, seen beside the call and in the debrief.
  await page.getByRole('tab', { name: /^Answers/ }).press('Enter');
  await sheet.getByRole('button', { name: /^Call 1/ }).press('Enter');
  const made_from = await unfolded(sheet.getByRole('group', { name: 'Call 1' }));
  await sheet.locator('.shot').scrollIntoViewIfNeeded();
  await pictures(page, picture, 'recorded call, made from');
  await cleanInEveryLook(page, 'recorded call');
  const { amplitude_db, snapshot } = await called(page);
  assert.match(made_from, new RegExp(`from side ${snapshot.pose.side}, ${snapshot.pose.y_mm.toFixed(1)} mm along, wedge front .* of sound path\\.$`));
  const read_db = number(made_from.match(/reference gain: (?:at least )?([+−]?\d+\.\d+) dB/)[1]);
  assert.ok(Math.abs(read_db - amplitude_db) < 0.5, `${read_db} and ${amplitude_db} dB`);
  await page.getByRole('button', { name: 'Hand in', exact: true }).press('Enter');
  await page.getByRole('dialog', { name: 'Hand in the answer sheet?' }).getByRole('button', { name: 'Hand in now' }).press('Enter');
  await page.getByRole('heading', { level: 1, name: /^Debrief/ }).waitFor();
  assert.equal(await unfolded(page.getByRole('main').locator('.mark-list > li').filter({ hasText: MADE_FROM })), made_from);
}, { reducedMotion: 'reduce' });

journey('a run is stopped, and what was taken is kept; lines are taken by hand', async ({ page, picture }) => {
  await choosePlate(page, 'TH-07 · 20 mm, single V');
  const panel = await record(page, 0, 300);
  await panel.getByText(/lines, about \d+:\d+ left/).waitFor();
  await panel.getByRole('button', { name: 'Stop recording', exact: true }).press('Enter');
  await page.getByText(/^Stopped after/).waitFor();
  await panel.getByText(/lines missing/).first().waitFor();
  await panel.getByRole('button', { name: 'New recording' }).press('Enter');
  await panel.getByText(/^Pass 1/).waitFor({ state: 'detached' });

  await panel.getByRole('button', { name: 'Record by hand' }).press('Enter');
  await panel.getByText(/what you pass is recorded/).waitFor();
  for (let i = 0; i < 6; i++) {
    await page.keyboard.press('ArrowRight');
    await settled(page);
  }
  await panel.getByRole('button', { name: 'Stop recording by hand' }).press('Enter');
  const pass = await panel.getByText(/^Pass 1/).innerText();
  assert.ok(number(pass.match(/(\d+) lines\./)[1]) >= 6, pass);
  await picture('recorded by hand');
});

journey('the page stays live while 300 mm are recorded from both sides', async ({ page }) => {
  await choosePlate(page, 'TH-07 · 20 mm, single V');
  await page.evaluate(() => {
    globalThis.longTasks = [];
    new PerformanceObserver((list) => globalThis.longTasks.push(...list.getEntries().map((entry) => entry.duration))).observe({ entryTypes: ['longtask'] });
  });
  await record(page, 0, 300);
  const words = await page.getByText(/lines recorded in/).innerText({ timeout: 60_000 });
  // No bar: machines differ, and this one may be busy.
  const long = await page.evaluate(() => globalThis.longTasks);
  console.log(`${words} Main-thread tasks over 50 ms: ${long.length}, longest ${Math.max(0, ...long).toFixed(0)} ms`);
});
