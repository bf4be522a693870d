// axe finds nothing on any place, in light, dark and forced colours.
import assert from 'node:assert/strict';
import { mkdtemp, readFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { cleanInEveryLook, pictures } from '../harness/clean.mjs';
import { address, journey } from '../harness/journey.mjs';
import { overhang } from '../harness/overhang.mjs';
import { choosePlate, firstPicture, openStart, plateText, press } from '../harness/person.mjs';

const heading = (page, name) => page.getByRole('heading', { level: 1, name }).waitFor();

/** The file that a button saves, by its path. */
async function saved(page, name) {
  // A page beside it may have had the keys.
  await page.bringToFront();
  const [download] = await Promise.all([page.waitForEvent('download', { timeout: 90_000 }), page.getByRole('button', { name }).press('Enter')]);
  const path = join(await mkdtemp(join(tmpdir(), 'trialplate-')), download.suggestedFilename());
  await download.saveAs(path);
  return path;
}

/** Opens each dialog of the bench and closes it. */
async function dialogs(page) {
  for (const [name, title] of [['Help', 'Help'], ['Written procedure', 'Written procedure'], ['Caution', 'Caution']]) {
    await page.getByRole('button', { name, exact: true }).first().click();
    const dialog = page.getByRole('dialog', { name: title });
    await dialog.waitFor();
    await cleanInEveryLook(page, title);
    await dialog.getByRole('button', { name: 'Close' }).click();
    await dialog.waitFor({ state: 'detached' });
  }
}

async function recordedScan(page) {
  await page.getByRole('tab', { name: 'Recording' }).press('Enter');
  await page.getByLabel('To', { exact: true }).fill('40');
  await page.getByLabel('To', { exact: true }).press('Enter');
  await page.getByRole('button', { name: 'Record along the weld' }).press('Enter');
  await page.getByText(/^\d+ lines recorded in/).waitFor({ timeout: 60_000 });
  await page.getByText(/Heard in pass/).waitFor();
}

journey('axe finds nothing at the start and the bench', async ({ page, picture }) => {
  await openStart(page);
  await cleanInEveryLook(page, 'start');
  await pictures(page, picture, 'start');
  await choosePlate(page, 'TH-07 · 20 mm, single V');
  await cleanInEveryLook(page, 'bench');
  await press(page, 'e', 'c');
  await cleanInEveryLook(page, 'bench with a call');
  await pictures(page, picture, 'bench');
  await page.getByRole('button', { name: 'Done' }).press('Enter');
  await dialogs(page);
  for (const tab of ['Scan', 'Set-up', 'Calibration']) {
    await page.getByRole('tab', { name: tab }).press('Enter');
    await cleanInEveryLook(page, tab);
    await pictures(page, picture, tab);
  }
  await recordedScan(page);
  await cleanInEveryLook(page, 'recorded scan');
  await pictures(page, picture, 'recorded');
}, { reducedMotion: 'reduce' });

journey('axe finds nothing in marks, reports, progress and the marking desk', async ({ page, context, picture }) => {
  await choosePlate(page, 'TH-07 · 20 mm, single V');
  await press(page, 'e', 'c');
  await page.getByRole('button', { name: 'Done' }).press('Enter');
  await page.getByRole('button', { name: 'Hand in', exact: true }).click();
  await page.getByRole('dialog').waitFor();
  await cleanInEveryLook(page, 'hand in');
  await page.getByRole('button', { name: 'Hand in now' }).click();
  await heading(page, /^Debrief/);
  await cleanInEveryLook(page, 'debrief');
  await pictures(page, picture, 'debrief');
  for (const reader of ['examiner', 'welder', 'engineer']) {
    const paper = await context.newPage();
    await paper.setContent(await readFile(await saved(page, `For the ${reader}`), 'utf8'));
    await cleanInEveryLook(paper, `report for the ${reader}`);
    await paper.close();
  }
  const work = await saved(page, 'Save hand-in');

  await page.goto(`${address}#progress`);
  await heading(page, 'What you have learned');
  await cleanInEveryLook(page, 'progress');
  await pictures(page, picture, 'progress');
  await page.goto(`${address}#mark`);
  await heading(page, 'Mark hand-ins');
  await cleanInEveryLook(page, 'marking desk');
  await page.getByLabel('Choose the plate file').setInputFiles({ name: 'th-07.toml', mimeType: 'text/plain', buffer: Buffer.from(await plateText('th-07')) });
  await page.getByLabel('Choose the hand-ins').setInputFiles(work);
  await page.getByRole('heading', { name: 'The class' }).waitFor({ timeout: 60_000 });
  await cleanInEveryLook(page, 'the class');
  await pictures(page, picture, 'class');
}, { reducedMotion: 'reduce' });

journey('axe finds nothing in lessons, flaw bench and plate maker', async ({ page, picture }) => {
  await page.goto(`${address}#lessons`);
  await page.getByText('Steps: 3').first().waitFor();
  await cleanInEveryLook(page, 'lessons');
  await page.goto(`${address}#bench?lesson=sound-in-steel`);
  await firstPicture(page);
  await page.getByRole('region', { name: 'Lesson', exact: true }).getByRole('button', { name: 'Give me a hint' }).press('Enter');
  await cleanInEveryLook(page, 'lesson');
  await pictures(page, picture, 'lesson');
  await page.goto(`${address}#flaw`);
  await page.getByText(/lower than the other side|equally high/).waitFor();
  await cleanInEveryLook(page, 'flaw bench');
  await pictures(page, picture, 'flaw bench');
  await page.goto(`${address}#make`);
  await page.getByText('No flaw yet').waitFor();
  await page.getByRole('button', { name: 'Add this flaw' }).press('Enter');
  await page.getByText('It can be sat fairly').waitFor();
  await cleanInEveryLook(page, 'plate maker');
  await pictures(page, picture, 'plate maker');
}, { reducedMotion: 'reduce' });

journey('axe finds nothing on the plate desk and in a recorded exam', async ({ page, picture }) => {
  await page.goto(`${address}#desk`);
  await page.getByRole('textbox', { name: 'Seed' }).fill('77');
  await page.getByRole('combobox', { name: 'Level' }).selectOption('1');
  await page.getByRole('button', { name: 'Draw it and look' }).press('Enter');
  await page.getByRole('heading', { name: 'What each flaw shows' }).waitFor();
  await cleanInEveryLook(page, 'plate desk');
  await pictures(page, picture, 'plate desk');
  const card = page.getByRole('region', { name: 'Make it a recorded exam' });
  await card.getByRole('textbox', { name: 'Name of the exam' }).fill('Quay');
  await card.getByRole('combobox', { name: 'Index offsets from each side' }).selectOption('1');
  await card.getByLabel('Step').fill('5');
  const exam = await saved(page, 'Record and save the exam');
  await page.goto(`${address}#recorded`);
  await cleanInEveryLook(page, 'before a recorded exam');
  await page.getByLabel('Choose the file of the exam (.npz)').setInputFiles(exam);
  await page.getByRole('dialog').getByRole('button', { name: 'Begin' }).press('Enter');
  await page.getByText(/Heard in pass/).waitFor({ timeout: 30_000 });
  await cleanInEveryLook(page, 'recorded exam');
  await pictures(page, picture, 'recorded exam at work');
}, { reducedMotion: 'reduce' });

const MODEL_PAGES = [['model', 'The model and its limits'], ['model.es', 'El modelo y sus límites']];
for (const width of [1440, 360]) {
  journey(`axe finds nothing on the model page, ${width} px`, async ({ page, picture }) => {
    await page.setViewportSize({ width, height: 900 });
    for (const [name, title] of MODEL_PAGES) {
      await page.goto(new URL(`${name}.html`, address).href);
      await page.getByRole('heading', { level: 1, name: title }).waitFor();
      await page.waitForFunction(() => [...document.images].every((image) => image.complete && image.naturalWidth > 0));
      await cleanInEveryLook(page, name);
      assert.equal(await overhang(page), 0, 'nothing is wider than the page');
      await pictures(page, picture, `${name}, ${width}`);
    }
  });
}
