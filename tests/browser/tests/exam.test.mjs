// An exam from end to end: an instructor seals a plate, a trainee sits it, the class is marked.
import assert from 'node:assert/strict';
import { readFile } from 'node:fs/promises';
import { clean } from '../harness/clean.mjs';
import { journey } from '../harness/journey.mjs';
import { firstPicture, openFile, openStart, press } from '../harness/person.mjs';

const INSTRUCTOR = 'the tern that returned';
const SITTING = 'low water at nine';

/** The file that a button saves. */
async function saved(page, name) {
  const [download] = await Promise.all([page.waitForEvent('download'), page.getByRole('button', { name }).press('Enter')]);
  return { name: download.suggestedFilename(), mimeType: 'application/json', buffer: await readFile(await download.path()) };
}

/** A drawn plate, sealed on the desk. */
async function sealedPlate(page, picture) {
  await openStart(page);
  await page.getByRole('button', { name: 'Look at a plate' }).press('Enter');
  await page.getByRole('heading', { level: 1, name: 'Look at a plate before you hand it out' }).waitFor();
  await page.getByRole('textbox', { name: 'Seed' }).fill('77');
  await page.getByRole('combobox', { name: 'Level' }).selectOption('1');
  await page.getByRole('button', { name: 'Draw it and look' }).press('Enter');
  await page.getByRole('heading', { name: 'What each flaw shows' }).waitFor();
  await page.getByRole('button', { name: 'Seal it for an exam' }).press('Enter');
  const dialog = page.getByRole('dialog', { name: 'Seal it for an exam' });
  await dialog.getByRole('textbox', { name: /^Your passphrase/ }).fill(INSTRUCTOR);
  await dialog.getByRole('textbox', { name: 'Passphrase of the sitting' }).fill(SITTING);
  await clean(page);
  await picture('seal');
  return saved(page, 'Seal and save');
}

/** Sits the sealed plate: one call somewhere, handed in; the file of the hand-in. */
async function sat(page, plate, name, picture) {
  await openStart(page);
  await openFile(page, plate);
  const dialog = page.getByRole('dialog', { name: /^Exam: / });
  await dialog.getByText('The page gives no advice.').waitFor();
  await clean(page);
  await picture('before the exam');
  await dialog.getByRole('textbox', { name: 'Passphrase of the sitting' }).fill(SITTING);
  await dialog.getByRole('button', { name: 'Begin' }).press('Enter');
  await firstPicture(page);
  await page.getByText('Exam: no advice here.').first().waitFor();
  await press(page, 'ArrowRight', 'ArrowRight', 'e', 'c');
  await page.getByRole('button', { name: 'Done' }).press('Enter');
  await page.getByRole('button', { name: 'Hand in', exact: true }).press('Enter');
  const question = page.getByRole('dialog', { name: 'Hand in the answer sheet?' });
  await question.getByRole('textbox', { name: /^Your name/ }).fill(name);
  await question.getByRole('button', { name: 'Hand in now' }).press('Enter');
  await page.getByRole('heading', { level: 1, name: /^Handed in: / }).waitFor();
  await clean(page);
  await picture('handed in');
  assert.ok(!/flaw|%|passed/i.test(await page.getByRole('main').innerText()), 'nothing is told of flaws and marks');
  const file = await saved(page, 'Save the hand-in file');
  // Said aloud for a moment, and there to be read as long as the page is.
  const told = `${file.name} is saved, among your downloads.`;
  await page.getByRole('status').filter({ hasText: told }).waitFor();
  await page.getByRole('status').filter({ hasText: told }).waitFor({ state: 'hidden' });
  await page.getByRole('main').getByText(told).waitFor();
  return file;
}

journey('a plate is sealed, sat without advice or debrief, and the class marked', async ({ page, picture }) => {
  const plate = await sealedPlate(page, picture);
  assert.match(plate.name, /-sealed\.json$/);
  assert.ok(!/kind|start_mm|flaw/.test(plate.buffer.toString()), 'no map in the file');
  const works = [];
  for (const name of ['Ada', 'Bea']) works.push(await sat(page, plate, name, picture));
  assert.ok(!/percent/.test(works[0].buffer.toString()), 'the mark is the instructor’s to tell');

  await openStart(page);
  await page.getByRole('button', { name: /^Look at the marks of/ }).first().waitFor();
  assert.equal(await page.getByRole('button', { name: 'What you have learned' }).isVisible(), false, 'an exam without debrief is in no history');
  await page.getByRole('button', { name: 'Mark hand-ins' }).press('Enter');
  await page.getByRole('heading', { level: 1, name: 'Mark hand-ins' }).waitFor();
  await clean(page);
  await page.getByLabel('Choose the plate file').setInputFiles(plate);
  await page.getByRole('textbox', { name: 'Your passphrase' }).fill(SITTING);
  const edited = { ...works[1], name: 'edited.json', buffer: Buffer.from(works[1].buffer.toString().replace('"Bea"', '"Cea"')) };
  const files = works.map((work, i) => ({ ...work, name: `${i}.json` }));
  await page.getByLabel('Choose the hand-ins').setInputFiles([...files, edited]);
  await page.getByText('expected the instructor').waitFor();
  await page.getByRole('textbox', { name: 'Your passphrase' }).fill(INSTRUCTOR);
  await page.getByLabel('Choose the hand-ins').setInputFiles([...files, edited]);
  await page.getByRole('heading', { name: 'The class' }).waitFor();
  await page.getByText('Hand-ins: 2').waitFor();
  for (const name of ['Ada', 'Bea']) await page.getByRole('cell', { name, exact: true }).waitFor();
  await page.getByText(/^edited\.json: its signature is not that of this plate/).waitFor();
  await clean(page);
  await picture('the class');
  const table = await saved(page, 'Save the table (CSV)');
  assert.match(table.buffer.toString(), /^file,name,percent/);
});

journey('a wrong passphrase is told and opens nothing; it is asked for again, and Enter gives it', async ({ page, picture }) => {
  const plate = await sealedPlate(page, picture);
  await openStart(page);
  await openFile(page, plate);
  const dialog = page.getByRole('dialog', { name: /^Exam: / });
  const field = dialog.getByRole('textbox', { name: 'Passphrase of the sitting' });
  await field.fill('high water at nine');
  await dialog.getByRole('button', { name: 'Begin' }).press('Enter');
  await dialog.getByRole('alert').filter({ hasText: 'this passphrase does not open the plate' }).waitFor();
  assert.ok(await field.evaluate((one) => one === document.activeElement), 'one may type at once');
  await clean(page);
  await dialog.getByRole('button', { name: 'Not now' }).press('Enter');
  await page.getByRole('heading', { level: 1, name: 'Trialplate' }).waitFor();
  await openFile(page, plate);
  await field.fill('high water at nine');
  await field.press('Enter');
  await dialog.getByRole('alert').waitFor();
  await page.keyboard.type(SITTING);
  await page.keyboard.press('Enter');
  await firstPicture(page);
});

journey('an ordinary plate is handed in as a file, too, with the mark the page told', async ({ page }) => {
  await openStart(page);
  await page.getByRole('button', { name: 'Begin with the first plate' }).press('Enter');
  await firstPicture(page);
  await page.getByRole('button', { name: 'Hand in', exact: true }).press('Enter');
  await page.getByRole('button', { name: 'Hand in now' }).press('Enter');
  await page.getByRole('heading', { level: 1, name: /^Debrief/ }).waitFor();
  const file = JSON.parse((await saved(page, 'Save hand-in')).buffer.toString());
  assert.equal(typeof file.mark.percent, 'number');
  assert.equal(file.signature, '');
});

journey('the clock of an exam runs on while the page is closed, and the passphrase is asked for again', async ({ page, picture }) => {
  const plate = await sealedPlate(page, picture);
  await openStart(page);
  await openFile(page, plate);
  const begin = async () => {
    const dialog = page.getByRole('dialog', { name: /^Exam: / });
    await dialog.getByRole('textbox', { name: 'Passphrase of the sitting' }).fill(SITTING);
    await dialog.getByRole('button', { name: 'Begin' }).press('Enter');
    await firstPicture(page);
  };
  await begin();
  const left = async () => {
    const [minutes, seconds] = (await page.getByText(/^\d+:\d\d left$/).innerText()).match(/\d+/g).map(Number);
    return 60 * minutes + seconds;
  };
  await press(page, 'ArrowRight');
  await page.waitForTimeout(1500);
  const before = await left();
  const address = page.url();
  await page.goto('about:blank');
  await page.waitForTimeout(4000);
  await page.goto(address);
  await begin();
  assert.ok(before - (await left()) >= 4, 'four seconds away are gone');
});

journey('another language in a sealed sitting: asked first, and the answers are there afterwards', async ({ page }) => {
  const plate = await sealedPlate(page, async () => {});
  await openStart(page);
  await openFile(page, plate);
  const dialog = page.getByRole('dialog', { name: /^Exam: / });
  await dialog.getByRole('textbox', { name: 'Passphrase of the sitting' }).fill(SITTING);
  await dialog.getByRole('button', { name: 'Begin' }).press('Enter');
  await firstPicture(page);
  await press(page, 'ArrowRight', 'e', 'c');
  await page.getByRole('button', { name: 'Done' }).press('Enter');
  await page.getByRole('button', { name: 'Help', exact: true }).press('Enter');
  await page.getByRole('radio', { name: 'Keys' }).check({ force: true });
  const language = page.getByRole('combobox', { name: 'Language' });
  const question = page.getByRole('dialog', { name: 'Load the page anew?' });
  await language.selectOption('es');
  await question.waitFor();
  await clean(page);
  await question.getByRole('button', { name: 'Stay as it is' }).press('Enter');
  await question.waitFor({ state: 'detached' });
  assert.equal(await language.inputValue(), 'en', 'the choice says what is');
  assert.equal(await page.evaluate(() => document.documentElement.lang), 'en');
  await language.selectOption('es');
  await Promise.all([page.waitForEvent('load'), question.getByRole('button', { name: 'Load it anew' }).press('Enter')]);
  await page.waitForFunction(() => document.documentElement.lang === 'es');
  const again = page.getByRole('dialog', { name: /^Examen/ });
  await again.getByRole('textbox').fill(SITTING);
  await again.getByRole('button').last().press('Enter');
  await page.getByRole('img', { name: /^Sección con la imagen del sonido/ }).waitFor();
  await page.getByRole('tab', { name: /^Respuestas\s*1/ }).waitFor();
});
