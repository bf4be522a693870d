// A recorded exam from end to end: an instructor records a plate, a trainee sits it without the map, the class is marked.
import assert from 'node:assert/strict';
import { mkdtemp, readFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { clean } from '../harness/clean.mjs';
import { address, journey } from '../harness/journey.mjs';
import { overhang } from '../harness/overhang.mjs';
import { openFile, openStart } from '../harness/person.mjs';

/** The file that a button saves. */
async function saved(page, name) {
  const [download] = await Promise.all([page.waitForEvent('download', { timeout: 90_000 }), page.getByRole('button', { name }).press('Enter')]);
  const saved_as = download.suggestedFilename();
  // Large files go by their path, not through the browser's messages.
  const path = join(await mkdtemp(join(tmpdir(), 'trialplate-')), saved_as);
  await download.saveAs(path);
  return { name: saved_as, path, buffer: await readFile(path) };
}

/** A plate file and the exam recorded from it. */
async function made(page, picture) {
  await openStart(page);
  await page.getByRole('button', { name: 'Look at a plate' }).press('Enter');
  await page.getByRole('heading', { level: 1, name: 'Look at a plate before you hand it out' }).waitFor();
  await page.getByRole('textbox', { name: 'Seed' }).fill('77');
  await page.getByRole('combobox', { name: 'Level' }).selectOption('1');
  await page.getByRole('button', { name: 'Draw it and look' }).press('Enter');
  await page.getByRole('heading', { name: 'What each flaw shows' }).waitFor();
  const plate = await saved(page, 'Save the plate file');
  const card = page.getByRole('region', { name: 'Make it a recorded exam' });
  await card.getByRole('button', { name: 'Record and save the exam' }).press('Enter');
  await card.getByText('Give the exam a name first.').waitFor();
  await card.getByRole('textbox', { name: 'Name of the exam' }).fill('Harbour wall, June');
  await card.getByRole('combobox', { name: 'Index offsets from each side' }).selectOption('2');
  await card.getByLabel('Step').fill('2');
  await clean(page);
  await picture('recorded exam, made');
  const exam = await saved(page, 'Record and save the exam');
  await card.getByText('The exam is saved.').waitFor();
  assert.equal(exam.name, 'Harbour-wall-June-exam.npz');
  return { plate, exam };
}

async function begin(page, exam) {
  const dialog = page.getByRole('dialog', { name: 'Exam: Harbour wall, June' });
  await dialog.getByText('Your instructor marks what you called, not how the plate was scanned.').waitFor();
  await clean(page);
  await dialog.getByRole('button', { name: 'Begin' }).press('Enter');
  await page.getByText(/Heard in pass/).waitFor({ timeout: 30_000 });
}

/** The same in the dark and on a phone. */
async function elsewhere(page, place, picture) {
  const size = page.viewportSize();
  for (const [colorScheme, { width, height }] of [['dark', size], ['dark', { width: 360, height: 740 }], ['light', { width: 360, height: 740 }]]) {
    await page.emulateMedia({ colorScheme });
    await page.setViewportSize({ width, height });
    await clean(page);
    assert.equal(await overhang(page), 0, `${place} is wider than ${width} px`);
    await picture(`${place}, ${colorScheme}, ${width}`);
  }
  await page.emulateMedia({ colorScheme: 'light' });
  await page.setViewportSize(size);
}

/** Looks, calls the highest echo with its ends, kind and verdict, and hands in. */
async function sat(page, picture) {
  await page.getByRole('button', { name: 'Go to the highest echo' }).press('Enter');
  await page.getByRole('button', { name: 'Call this place' }).press('Enter');
  await page.getByRole('combobox', { name: 'Kind', exact: true }).selectOption({ index: 1 });
  await page.getByRole('combobox', { name: 'Decision', exact: true }).selectOption({ label: 'reject' });
  await clean(page);
  await picture('recorded exam');
  await elsewhere(page, 'recorded exam', picture);
  await page.getByRole('button', { name: 'Done' }).press('Enter');
  // Back in the views, whose keys act at the cursor; an edit is taken back by keys here, too.
  await page.waitForFunction(() => document.activeElement.getAttribute('aria-label')?.startsWith('Recorded scan from above'));
  await page.keyboard.press('ArrowRight');
  await page.keyboard.press(']');
  await page.getByText(/^Call 1 ends at /).waitFor();
  await page.keyboard.press('Control+z');
  await page.getByText('Undo. Calls on the sheet: 1').waitFor();
}

async function handIn(page, picture) {
  await page.getByRole('button', { name: 'Hand in', exact: true }).press('Enter');
  const question = page.getByRole('dialog', { name: 'Hand in the answer sheet?' });
  await question.getByRole('textbox', { name: /^Your name/ }).fill('Ada');
  assert.equal(await question.getByText(/examined/).count(), 0, 'nobody scanned here');
  await question.getByRole('button', { name: 'Hand in now' }).press('Enter');
  await page.getByRole('heading', { level: 1, name: 'Handed in: Harbour wall, June' }).waitFor();
  await page.getByText('who marks it with the plate file').waitFor();
  await clean(page);
  await picture('recorded exam, handed in');
  return saved(page, 'Save the hand-in file');
}

journey('a recorded exam is made, sat without the map, and marked with the plate file', async ({ page, picture }) => {
  const { plate, exam } = await made(page, picture);
  const words = exam.buffer.toString('latin1');
  for (const secret of ['lack-of', 'crack', 'pore', 'slag', 'seed', '[flaw', 'tern-harbour-']) assert.ok(!words.includes(secret), secret);

  // At its own address, by its own button.
  await page.goto(`${address}#recorded`);
  await page.reload();
  await page.getByRole('heading', { name: 'Recorded exam' }).last().waitFor();
  await clean(page);
  await picture('recorded exam, before');
  await elsewhere(page, 'recorded exam before', picture);
  await page.getByLabel('Choose the file of the exam (.npz)').setInputFiles(exam.path);
  await begin(page);
  assert.equal(await page.getByRole('tab', { name: 'Scan' }).count(), 0, 'no probe here');
  await page.waitForFunction(() => document.activeElement.tagName === 'H1');
  await sat(page, picture);

  // The page is closed and opened again: answers and recording are there.
  const call = await page.getByRole('listitem').filter({ hasText: 'reject' }).innerText();
  await page.waitForTimeout(1500);
  await page.reload();
  await page.getByText(/Heard in pass/).waitFor({ timeout: 30_000 });
  assert.equal(await page.getByRole('listitem').filter({ hasText: 'reject' }).innerText(), call);
  const work = await handIn(page, picture);
  assert.ok(!work.buffer.toString().includes('"percent"'), 'no mark in the hand-in');

  await openStart(page);
  await page.getByRole('button', { name: 'Mark hand-ins' }).press('Enter');
  await page.getByLabel('Choose the plate file').setInputFiles(plate.path);
  await page.getByText('Now choose the hand-ins.').waitFor();
  await page.getByLabel('Choose the hand-ins').setInputFiles(work.path);
  await page.getByRole('heading', { name: 'The class' }).waitFor({ timeout: 60_000 });
  const row = page.getByRole('row').filter({ hasText: 'Ada' });
  assert.match(await row.innerText(), /recorded exam, the scanning is not marked/);
});

journey('what is no exam is refused in words, and what is open stays', async ({ page }) => {
  await openStart(page);
  await openFile(page, { name: 'x.npz', mimeType: 'application/zip', buffer: Buffer.from('PK but nothing else') });
  await page.getByText('not an .npz file: expected a zip archive').waitFor();
  await page.goto(`${address}#recorded`);
  await page.getByLabel('Choose the file of the exam (.npz)').setInputFiles({ name: 'y.npz', mimeType: 'application/zip', buffer: Buffer.alloc(40) });
  await page.getByText('y.npz cannot be opened. not an .npz file').waitFor();
});
