// The page in Spanish with inches: read, typed, kept and read again; nothing wider than a phone; axe finds nothing.
import assert from 'node:assert/strict';
import axe from 'axe-core';
import { address, journey } from '../harness/journey.mjs';
import { settled } from '../harness/person.mjs';

const TAGS = ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa'];

async function fits(page, place) {
  await page.evaluate(axe.source);
  const { violations } = await page.evaluate((values) => globalThis.axe.run(document, { runOnly: { type: 'tag', values } }), TAGS);
  assert.deepEqual(violations.flatMap(({ id, nodes }) => nodes.map(({ html }) => `${place}: ${id}: ${html.slice(0, 160)}`)), []);
  assert.ok(await page.evaluate(() => document.documentElement.scrollWidth <= innerWidth), `${place} is wider than the page`);
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
    assert.match(await list.innerText(), /Profundidad\s+\d,\d{3} in/);
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
    await fits(page, 'debrief');
    await picture(`debrief in Spanish, ${width}`);
  }, { locale: 'es-ES' });
}
