// What the simulation writes follows the reader: reports, blank sheet, drawings, remarks on a class and refusals in Spanish.
import assert from 'node:assert/strict';
import { readFile, writeFile } from 'node:fs/promises';
import { address, journey } from '../harness/journey.mjs';
import { plateText } from '../harness/person.mjs';

const catalogue = async (name) => (await import(new URL(`../../../www/page/${name}.js`, import.meta.url))).TEXTS;
const [EN, ES] = await Promise.all(['texts.en', 'texts.es'].map(catalogue));
const OUT = new URL('../out/', import.meta.url);
const ANSWERS = ['kind,start_mm,end_mm,offset_mm,depth_mm,height_mm,amplitude_db,side,leg,decision,remark',
  'lack-of-side-wall-fusion,60,92.5,-6,8,3,-2,B,2,reject,', 'root-crack,180,200,0.5,18.5,3,1,A,1,accept,',
  'single-pore,240,243,2,10,1.5,-8,A,,accept,', 'slag-line,120,,3,12,,-6,,2,reject,', ',,,,,,,,,reject,'].join('\r\n');

/** Parts of English sentences, as long as they are long enough to be nothing else. */
const ENGLISH = Object.entries(EN).filter(([key]) => /^(said|kind|preparation|title)\./.test(key))
  .flatMap(([key, words]) => words.split(/\{[^}]*\}/).map((part) => part.trim()).filter((part) => /[a-z]{3,} [a-z]{2,}|^[A-Z][a-z]{5,}$/.test(part) && !ES[key].includes(part)));

const button = (page, key) => page.getByRole('button', { name: ES[key], exact: true });
const file = (text, name, mimeType = 'text/plain') => ({ name, mimeType, buffer: Buffer.from(text) });

async function saved(page, press) {
  const [download] = await Promise.all([page.waitForEvent('download'), press.click()]);
  return readFile(await download.path(), 'utf8');
}

/** The sheet filled and handed in. */
async function handedIn(page, query) {
  await page.goto(`${address}?${query}#bench?plate=th-07`);
  await page.getByRole('tab', { name: ES['panel.sheet'] }).click();
  await page.getByText(ES['sheet.files'], { exact: true }).click();
  await page.getByLabel(ES['sheet.files.open']).setInputFiles(file(ANSWERS, 'a.csv', 'text/csv'));
  await page.getByRole('button', { name: /^Anotación 5/ }).waitFor();
  const blank = await saved(page, button(page, 'sheet.files.blank'));
  await button(page, 'hand_in.button').click();
  await button(page, 'hand_in.yes').click();
  await page.getByRole('heading', { name: ES['report.title'] }).waitFor();
  return blank;
}

/** What stands on a sheet of paper, with what is told to those who do not see its drawings. */
async function read(context, html, name) {
  const paper = await context.newPage();
  await paper.setContent(html);
  await writeFile(new URL(`${name}.pdf`, OUT), await paper.pdf({ preferCSSPageSize: true }));
  // As wide as A4 is between the margins of the sheet.
  await paper.setViewportSize({ width: name.endsWith('blank') ? 1031 : 688, height: 900 });
  await paper.emulateMedia({ media: 'print' });
  const told = await paper.evaluate(() => ({ lang: document.documentElement.lang, wide: document.documentElement.scrollWidth - innerWidth,
    words: [document.title, document.body.textContent, ...[...document.querySelectorAll('[aria-label]')].map((one) => one.ariaLabel)].join('\n') }));
  await paper.close();
  return told;
}

function isSpanish({ lang, wide, words }, name) {
  assert.equal(lang, 'es', name);
  assert.ok(wide <= 0, `${name} fits its sheet`);
  assert.deepEqual(ENGLISH.filter((part) => words.includes(part)), [], name);
  assert.deepEqual(words.match(/\d+\.\d+ (mm|in|dB|%|MHz)|said\.\w+/g), null, name);
  assert.ok(words.includes(ES['said.caution']), name);
}

journey('reports, blank sheet and drawings are in the language and the unit of the reader', async ({ page, context }) => {
  assert.ok(ENGLISH.length > 200, `${ENGLISH.length} parts`);
  const blank = await read(context, await handedIn(page, 'lang=es&units=mm'), 'es-blank');
  isSpanish(blank, 'blank');
  assert.match(blank.words, /Explora desde lado A y lado B\. Registra desde −14,0 dB/);
  for (const [reader, told] of [['examiner', /a 46,0–64,0 mm a lo largo de la soldadura/], ['welder', /Solo se dibujan las anotaciones que rechaza: 2 de 5/],
    ['engineer', /5,0 MHz, 64 elementos con paso de 0,50 mm/]]) {
    const report = await read(context, await saved(page, button(page, `report.${reader}`)), `es-${reader}`);
    isSpanish(report, reader);
    assert.match(report.words, told, reader);
    assert.ok(report.words.includes(ES['said.session.live']), reader);
    assert.match(report.words, /Chapa[\s\S]*TH-07|TH-07[\s\S]*Chapa/, reader);
  }
  const drawing = page.locator('.truth-and-calls svg').first();
  assert.match(await drawing.locator('title').textContent(), /^Chapa TH-07 desde arriba: verdad y anotaciones$/);
  assert.match(await drawing.locator('desc').textContent(), /^A lo largo de la soldadura .*Imperfección 1: escoria alineada, a 46,0–64,0 mm/);
});

journey('inches are inches on paper', async ({ page, context }) => {
  const blank = await read(context, await handedIn(page, 'lang=es&units=in'), 'in-blank');
  assert.match(blank.words, /11,811 in de longitud, 0,787 in de espesor/);
  const { words } = await read(context, await saved(page, button(page, 'report.welder')), 'in-welder');
  assert.match(words, /2,362–3,642 in desde el origen/);
  // The yard's rule and the wedge have no other unit.
  assert.deepEqual(words.match(/[\d,]+ mm/g), null);
});

journey('remarks on a class and what cannot be recorded are told in Spanish', async ({ page }) => {
  await handedIn(page, 'lang=es&units=mm');
  const work = await saved(page, button(page, 'debrief.hand_in'));
  await page.goto(`${address}?lang=es#mark`);
  await page.getByLabel(ES['mark.plate']).setInputFiles(file(await plateText('th-07'), 'th-07.toml'));
  const works = [file(work.replace(/"percent": [\d.]+/, '"percent": 12.5'), 'otra.json'), file('{"calls":[]}', 'hoja.json')];
  await page.getByLabel(ES['mark.works']).setInputFiles(works);
  await page.getByRole('heading', { name: ES['mark.class'] }).waitFor({ timeout: 60_000 });
  const row = (name) => page.getByRole('row').filter({ has: page.getByRole('rowheader', { name }) });
  assert.match(await row('otra.json').textContent(), /la página dijo 12,5\s%$/);
  assert.match(await row('hoja.json').textContent(), /solo hoja de respuestas, la exploración no se puntúa$/);
  const table = await saved(page, button(page, 'mark.save'));
  assert.match(table, /"?la página dijo 12,5 %"?/);

  await page.goto(`${address}?lang=es#bench?plate=th-01`);
  await page.getByRole('tab', { name: ES['panel.recording'] }).click();
  await page.getByRole('region', { name: ES['record.title'], exact: true }).getByLabel(ES['record.from']).fill('999');
  await button(page, 'record.run').click();
  await page.getByText(/^Primera línea: 999,0\smm; se espera de 0,0 a 300,0\smm\.$/).first().waitFor();
});
