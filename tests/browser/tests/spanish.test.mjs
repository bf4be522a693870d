// The page in Spanish with inches: read, typed, kept and read again; nothing wider than a phone; axe finds nothing.
import assert from 'node:assert/strict';
import { clean } from '../harness/clean.mjs';
import { address, journey } from '../harness/journey.mjs';
import { overhang } from '../harness/overhang.mjs';
import { plateText, settled } from '../harness/person.mjs';

/** Numbers that are seen in another line than their units. */
function parted() {
  const found = [];
  const walker = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
  const lineOf = (node, at) => {
    const range = new Range();
    range.setStart(node, at);
    range.setEnd(node, at + 1);
    return range.getBoundingClientRect();
  };
  while (walker.nextNode()) {
    const node = walker.currentNode;
    for (const { index } of node.data.matchAll(/\d\s(?:%|dB|mm|in|MHz)(?!\p{L})/gu)) {
      const [figure, unit] = [lineOf(node, index), lineOf(node, index + 2)];
      if (figure.width && unit.width && unit.top > figure.bottom - 2) found.push(node.data.slice(Math.max(0, index - 20), index + 9));
    }
  }
  return found;
}

/** The slag of TH-07 called half right. */
const SHEET = { plate_id: 'TH-07', calls: [{ kind: 'slag-line', start_mm: 43, end_mm: 66, offset_mm: 2, depth_mm: 9.3, height_mm: 3.9, decision: 'reject' }] };

async function fits(page, place) {
  await clean(page);
  assert.equal(await overhang(page), 0, `${place} is wider than the page`);
  assert.deepEqual(await page.evaluate(parted), [], `${place} has a number in another line than its unit`);
}

for (const [width, height] of [[1366, 850], [360, 740]]) {
  journey(`in Spanish and inches, ${width} px`, async ({ page, picture }) => {
    await page.setViewportSize({ width, height });
    await page.goto(address);
    // The browser's own language; nothing was chosen. The choice of a unit loads the page anew.
    await page.waitForFunction(() => document.documentElement.lang === 'es');
    await Promise.all([page.waitForEvent('load'), page.getByLabel('Longitudes en').selectOption({ label: 'pulgadas' })]);
    await page.getByRole('button', { name: 'Empezar por la primera chapa' }).waitFor();
    assert.equal(await page.getByLabel('Longitudes en').inputValue(), 'in', 'the unit is kept');
    await fits(page, 'start');
    await picture(`start in Spanish, ${width}`);

    await page.getByRole('button', { name: /^Explorar esta chapa: TH-07/ }).click();
    await page.getByRole('img', { name: /^Sección con la imagen del sonido/ }).waitFor();
    await settled(page);
    // With a comma and with a point; either way it reads back as typed, with the comma of the region.
    const along = page.getByRole('spinbutton', { name: 'A lo largo', exact: true });
    for (const typed of ['5,253', '2.5']) {
      await along.fill(typed);
      await along.press('Enter');
      await settled(page);
      assert.equal(await along.inputValue(), Number(typed.replace(',', '.')).toFixed(3).replace('.', ','));
    }
    await along.press('ArrowUp');
    assert.equal(await along.inputValue(), '2,550', 'a step is a round number of inches');
    await page.keyboard.press('Escape');
    await page.keyboard.press('e');
    await settled(page);
    const list = page.getByRole('region', { name: 'Eco más alto en la puerta' });
    assert.match(await list.innerText(), /Profundidad\s+\d,\d{3}\u00a0in/);
    await page.keyboard.press('c');
    await settled(page);
    const call = page.getByRole('group', { name: 'Anotación 1', exact: true });
    await call.getByRole('spinbutton', { name: 'Altura' }).fill('0,125');
    await call.getByRole('spinbutton', { name: 'Altura' }).press('Enter');
    await settled(page);
    await fits(page, 'bench');
    await picture(`bench in Spanish, ${width}`);

    // What is kept is millimetres, and comes back as it was typed.
    await page.waitForTimeout(1500);
    await page.reload();
    await page.getByRole('img', { name: /^Sección con la imagen del sonido/ }).waitFor();
    await settled(page);
    await page.getByRole('tab', { name: /^Respuestas/ }).click();
    await page.getByRole('button', { name: /^Anotación 1/ }).first().click();
    assert.equal(await call.getByRole('spinbutton', { name: 'Altura' }).inputValue(), '0,125');
    assert.equal(await call.getByRole('spinbutton', { name: 'Inicio' }).inputValue(), '2,550');

    // The mark and its reasons, which the simulation says.
    await page.getByRole('button', { name: 'Entregar', exact: true }).click();
    await page.getByRole('button', { name: 'Entregar ahora' }).click();
    await page.getByRole('heading', { level: 1, name: /^Corrección/ }).waitFor();
    const said = await page.locator('.debrief-body').innerText();
    for (const words of ['No aprobado: ', 'Detección e informe: ', 'sin anotar', 'Podías haberla reconocido por', 'Solo para formación'])
      assert.ok(said.includes(words), `${words} of ${said}`);
    assert.doesNotMatch(said, / (the|points|called|missing|with|beam|depth) /);
    const names = await page.locator('.debrief-place svg > title').allTextContents();
    assert.ok(names.includes('Chapa TH-07 de lado: verdad y anotaciones'), names.join(', '));
    assert.deepEqual(names.filter((name) => /\b(Plate|call|Flaw|side)\b/.test(name)), [], 'what a pointer that rests is told');
    await fits(page, 'debrief');
    await picture(`debrief in Spanish, ${width}`);

    // A class of one answer sheet, with a mark that has a decimal.
    await page.goto(`${address}#mark`);
    await page.getByLabel('Elige el archivo de chapa').setInputFiles({ name: 'th-07.toml', mimeType: 'text/plain', buffer: Buffer.from(await plateText('th-07')) });
    const works = page.getByLabel('Elige las entregas');
    await works.setInputFiles([{ name: 'mala.json', mimeType: 'application/json', buffer: Buffer.from('{') }, { name: 'hoja.json', mimeType: 'application/json', buffer: Buffer.from(JSON.stringify(SHEET)) }]);
    await page.getByRole('cell', { name: /^\d+,\d %, No aprobado$/ }).waitFor({ timeout: 60_000 });
    await page.getByText('Qué está mal en cada archivo.').waitFor();
    assert.match(await page.getByRole('listitem').filter({ hasText: 'mala.json:' }).innerText(), /no es una hoja de respuestas/);
    await fits(page, 'class');

    // A refusal is told in Spanish; what there are no words for is quoted as English.
    await page.goto(`${address}#start`);
    await page.getByLabel('Elige un archivo de chapa').setInputFiles({ name: 'mala.toml', mimeType: 'text/plain', buffer: Buffer.from('version = ') });
    const alert = page.getByRole('alert').filter({ hasText: 'No se ha aceptado. Qué está mal y qué se esperaba:' });
    await alert.getByText('mala.toml:1:11: aquí no hay ningún valor; se esperaba: uno después del `=`').waitFor();
    assert.equal(await alert.locator('span[lang=en]').count(), 0);
    await picture(`refused in Spanish, ${width}`);
  }, { locale: 'es-ES' });
}
