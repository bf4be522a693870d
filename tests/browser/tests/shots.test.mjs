// What a call was made from: shown beside the call, after a reload, in the debrief and in the reports; the flaw from both sides.
import assert from 'node:assert/strict';
import { readFile } from 'node:fs/promises';
import { journey } from '../harness/journey.mjs';
import { choosePlate, echoesHere, firstPicture, placeAlong, press, reading, settled } from '../harness/person.mjs';

const TITLE = 'What this call was made from';

/** The drawing under a summary, unfolded: its words and whether its picture has been drawn. */
async function unfolded(within, summary) {
  await within.getByText(summary).click();
  const drawing = within.locator('.shot svg').first();
  await drawing.locator('image').waitFor({ state: 'attached' });
  const picture = await drawing.locator('image').first().evaluate(async (image) => {
    const loaded = Object.assign(new Image(), { src: image.getAttribute('href') });
    await loaded.decode();
    const canvas = Object.assign(document.createElement('canvas'), { width: loaded.width, height: loaded.height });
    const context = canvas.getContext('2d');
    context.drawImage(loaded, 0, 0);
    const { data } = context.getImageData(0, 0, canvas.width, canvas.height);
    return { seen: data.filter((value, i) => i % 4 === 3 && value > 0).length, wide: loaded.width, href: image.getAttribute('href') };
  });
  assert.ok(picture.wide > 100 && picture.seen > 1000, `a picture of the sound: ${picture.wide} px, ${picture.seen} seen`);
  return { words: await drawing.locator('desc').first().textContent(), href: picture.href };
}

journey('a call shows what it was made from, wherever it goes', async ({ page, picture }) => {
  await choosePlate(page, 'TH-07 · 20 mm, single V');
  while ((await placeAlong(page)) < 55) await press(page, 'Shift+ArrowRight');
  assert.ok((await echoesHere(page, 3)).length > 0, 'something echoes here');
  const called = await reading(page);
  await press(page, 'c');
  const form = page.getByRole('group', { name: 'Call 1', exact: true });
  const first = await unfolded(form, TITLE);
  assert.match(first.words, /^After \d+:\d\d, from side A, 60\.0 mm along, wedge front .* of the screen at .* of sound path\.$/);
  await picture('what a call was made from');

  await form.getByRole('button', { name: 'Done' }).press('Enter');
  await press(page, 'Shift+ArrowRight', 'Shift+ArrowRight', 's');
  await page.reload();
  await firstPicture(page);
  await page.getByRole('tab', { name: /^Answers/ }).click();
  await page.getByRole('button', { name: /^Call 1/ }).click();
  assert.deepEqual(await unfolded(form, TITLE), first, 'the same after a reload');
  await form.getByRole('button', { name: 'Put the probe back there' }).click();
  await settled(page);
  assert.equal(await placeAlong(page), 60);
  const again = await reading(page);
  assert.ok(Math.abs(again.db - called.db) < 0.3 && Math.abs(again.depth_mm - called.depth_mm) < 0.3, `${called.db} and ${again.db} dB`);
  // A call by hand was made from nothing.
  await page.getByRole('button', { name: 'Add a call by hand' }).click();
  assert.equal(await page.getByRole('group', { name: 'Call 2', exact: true }).getByText(TITLE).count(), 0);

  await page.getByRole('button', { name: 'Hand in', exact: true }).click();
  await page.getByRole('dialog', { name: 'Hand in the answer sheet?' }).getByRole('button', { name: 'Hand in now' }).click();
  await page.getByRole('heading', { level: 1, name: /^Debrief/ }).waitFor();
  const debrief = page.getByRole('main');
  const row = debrief.locator('.mark-list > li').filter({ hasText: TITLE });
  assert.equal(await row.count(), 1);
  assert.deepEqual(await unfolded(row, TITLE), first, 'the same in the debrief');

  // Each flaw: best possible and had in numbers, and both sides beside each other.
  const best = page.getByRole('table', { name: /^Flaw 1: what was possible/ });
  assert.match(await best.getByRole('row', { name: /^Echo/ }).innerText(), /dB/);
  await page.getByText('You could have told it by').first().waitFor();
  const flaw = debrief.locator('.mark-list > li').filter({ hasText: 'Show me flaw 1 from both sides' });
  await flaw.getByText('Show me flaw 1 from both sides').click();
  await flaw.locator('.both-sides figure').nth(1).waitFor();
  const sides = await flaw.locator('.both-sides figcaption').allInnerTexts();
  assert.deepEqual(sides.map((words) => words.slice(0, 6)), ['Side A', 'Side B']);
  await flaw.locator('.both-sides').scrollIntoViewIfNeeded();
  await picture('a flaw from both sides');

  for (const reader of ['examiner', 'engineer']) {
    const [download] = await Promise.all([page.waitForEvent('download'), page.getByRole('button', { name: `For the ${reader}` }).click()]);
    const report = await readFile(await download.path(), 'utf8');
    assert.ok(report.includes(first.href), `the very picture is in the ${reader}’s report`);
  }
});
