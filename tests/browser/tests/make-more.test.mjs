// The plate maker further: backing bar and undercut, a finger on a phone, files opened, saved, sealed and recorded.
import assert from 'node:assert/strict';
import { mkdtemp, readFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { parse } from 'smol-toml';
import { notInFirefox } from '../harness/browser.mjs';
import { clean } from '../harness/clean.mjs';
import { address, journey } from '../harness/journey.mjs';
import { openFile, plateText } from '../harness/person.mjs';

const words = (page) => page.getByRole('textbox', { name: 'Plate file' }).inputValue();
const plate = async (page) => parse(await words(page)).plate;
/** Waits until something holds of the text. */
async function until(page, holds) {
  const end = Date.now() + 15_000;
  while (!holds(await words(page))) {
    if (Date.now() > end) throw new Error(`never: ${holds}\n${await words(page)}`);
    await page.waitForTimeout(50);
  }
}

/** The maker with the same new plate each time. */
async function openMaker(page) {
  await page.addInitScript(() => { crypto.getRandomValues = (into) => into.fill(38_455); });
  await page.goto(`${address}#make`);
  await page.getByText('No flaw yet').waitFor();
}

async function saved(page, name) {
  const [download] = await Promise.all([page.waitForEvent('download', { timeout: 90_000 }), page.getByRole('button', { name, exact: true }).press('Enter')]);
  const path = join(await mkdtemp(join(tmpdir(), 'trialplate-')), download.suggestedFilename());
  await download.saveAs(path);
  return { path, name: download.suggestedFilename(), buffer: await readFile(path) };
}

journey('a backing bar is laid under the root and taken away, undercut is made on both sides', async ({ page, picture }) => {
  await openMaker(page);
  const bar = page.getByRole('checkbox', { name: 'Backing bar under the root' });
  assert.ok((await plate(page)).joint.root_bead, 'a root bead at first');
  await bar.press('Space');
  await until(page, (text) => text.includes('backing_bar') && !text.includes('root_bead'));
  const thickness = page.getByRole('spinbutton', { name: 'Bar thickness' });
  await thickness.fill('9');
  await thickness.press('Enter');
  await until(page, (text) => text.includes('thickness_mm = 9.0'));
  for (const side of ['A', 'B']) {
    await page.getByRole('checkbox', { name: `Undercut along the cap on side ${side}` }).press('Space');
    await until(page, (text) => text.includes(`side = "${side}"`));
  }
  const depth = page.getByRole('group', { name: 'Undercut along the cap on side B' }).getByRole('spinbutton', { name: 'Undercut depth' });
  await depth.fill('0.5');
  await depth.press('Enter');
  await until(page, (text) => text.includes('depth_mm = 0.5'));
  const { joint } = await plate(page);
  assert.equal(joint.backing_bar.thickness_mm, 9);
  assert.deepEqual(joint.undercut.map(({ side, depth_mm }) => [side, depth_mm]), [['A', 0.3], ['B', 0.5]]);
  await clean(page);
  await picture('backing bar and undercut');
  // Deeper than the width allows is refused in words, and nothing changes.
  await depth.fill('1.9');
  await depth.press('Enter');
  await page.getByText(/Not changed: plate\.joint\.undercut\[1\]\.depth_mm/).waitFor();
  await page.getByRole('checkbox', { name: 'Undercut along the cap on side A' }).press('Space');
  await until(page, (text) => !text.includes('side = "A"'));
  assert.deepEqual((await plate(page)).joint.undercut.map(({ side }) => side), ['B']);
  await bar.press('Space');
  await until(page, (text) => text.includes('root_bead') && !text.includes('backing_bar'));
  // Step by step back to where it began.
  const undo = page.getByRole('button', { name: 'Undo' });
  while (await undo.isEnabled()) await undo.press('Enter');
  await until(page, (text) => text.includes('root_bead') && !text.includes('undercut'));
  // A weld from both faces has no place for a bar.
  await page.getByRole('combobox', { name: 'Preparation' }).first().selectOption('double-v');
  await until(page, (text) => text.includes('double-v'));
  await bar.waitFor({ state: 'hidden' });
});

journey('a flaw is dragged by a finger on a phone, and the page does not scroll under it', async ({ page, context, picture }) => {
  await openMaker(page);
  await page.getByRole('combobox', { name: 'Kind' }).selectOption('centreline-crack');
  await page.getByRole('button', { name: 'Add this flaw' }).tap();
  await until(page, (text) => text.includes('centreline-crack'));
  const start = (await plate(page)).flaw[0].start_mm;
  const mark = page.getByRole('region', { name: /^Plate from above/ }).getByRole('button', { name: /^Flaw 1/ });
  await mark.scrollIntoViewIfNeeded();
  const box = await mark.boundingBox();
  assert.ok(box.width >= 44 && box.height >= 44, `${box.width} × ${box.height} px to take hold of`);
  const finger = await context.newCDPSession(page);
  const [x, y] = [box.x + box.width / 2, box.y + box.height / 2];
  const scrolled = await page.evaluate(() => scrollY);
  const touch = (type, ...points) => finger.send('Input.dispatchTouchEvent', { type, touchPoints: points.map(([px, py]) => ({ x: px, y: py })) });
  await touch('touchStart', [x, y]);
  for (let i = 1; i <= 6; i++) await touch('touchMove', [x + i * 10, y + i * 3]);
  await touch('touchEnd');
  await page.waitForFunction((was) => Number(document.querySelector('#make-text').value.match(/start_mm = ([\d.]+)/)[1]) > was + 10, start);
  assert.equal(await page.evaluate(() => scrollY), scrolled);
  await picture('dragged by a finger');
  // One drag is one step of undo.
  await page.getByRole('button', { name: 'Undo' }).tap();
  await until(page, (text) => Number(text.match(/start_mm = ([\d.]+)/)[1]) === start);
}, { viewport: { width: 360, height: 740 }, hasTouch: true, isMobile: true, skip: notInFirefox('its driver has no fingers that drag') });

journey('a plate file is opened, saved as it is, sealed and recorded as an exam from the maker', async ({ page, picture }) => {
  await openMaker(page);
  const text = await plateText('th-06');
  await page.getByLabel('Open a file to draw on').setInputFiles({ name: 'th-06.toml', mimeType: 'text/plain', buffer: Buffer.from(text) });
  await page.getByRole('checkbox', { name: 'Backing bar under the root' }).and(page.locator(':checked')).waitFor();
  await page.getByText('It can be sat fairly').waitFor({ timeout: 30_000 });
  const kept = await saved(page, 'Save the plate file');
  assert.equal(kept.buffer.toString(), text, 'not a character is changed');

  await page.getByRole('button', { name: 'Seal it for an exam' }).press('Enter');
  const dialog = page.getByRole('dialog', { name: 'Seal it for an exam' });
  await dialog.getByRole('textbox', { name: /^Your passphrase/ }).fill('the tern that returned');
  await dialog.getByRole('textbox', { name: 'Passphrase of the sitting' }).fill('low water at nine');
  const sealed = await saved(page, 'Seal and save');
  assert.ok(!/lack-of|start_mm|flaw/.test(sealed.buffer.toString()), 'no map in the sealed file');

  const card = page.getByRole('region', { name: 'Make it a recorded exam' });
  await card.getByRole('textbox', { name: 'Name of the exam' }).fill('Pontoon');
  await card.getByRole('combobox', { name: 'Index offsets from each side' }).selectOption('1');
  await card.getByLabel('Step').fill('5');
  await card.getByLabel('Step').press('Enter');
  const exam = await saved(page, 'Record and save the exam');
  assert.equal(exam.name, 'Pontoon-exam.npz');
  for (const secret of ['lack-of', 'crack', 'slag', '[flaw']) assert.ok(!exam.buffer.toString('latin1').includes(secret), secret);
  await picture('recorded from the maker');

  // Both are what they say: the sealed one asks for its passphrase, the recorded one begins.
  await page.goto(`${address}#start`);
  await openFile(page, sealed.path);
  await page.getByRole('dialog', { name: /^Exam: / }).getByRole('button', { name: 'Not now' }).press('Enter');
  await openFile(page, exam.path);
  await page.getByRole('dialog', { name: 'Exam: Pontoon' }).getByRole('button', { name: 'Begin' }).press('Enter');
  await page.getByText(/Heard in pass/).waitFor({ timeout: 30_000 });
});
