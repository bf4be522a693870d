// axe finds nothing on any place, in light and dark.
import assert from 'node:assert/strict';
import axe from 'axe-core';
import { address, journey } from '../harness/journey.mjs';
import { choosePlate, openStart, press } from '../harness/person.mjs';

const TAGS = ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa'];

async function clean(page, place) {
  await page.evaluate(axe.source);
  const { violations } = await page.evaluate((values) => globalThis.axe.run(document, { runOnly: { type: 'tag', values } }), TAGS);
  const found = violations.flatMap(({ id, help, nodes }) => nodes.map(({ html }) => `${place}: ${id}: ${help}: ${html.slice(0, 160)}`));
  assert.deepEqual(found, [], found.join('\n'));
}

for (const colorScheme of ['light', 'dark']) {
  journey(`axe finds nothing, ${colorScheme}`, async ({ page, picture }) => {
    await openStart(page);
    await clean(page, 'start');
    await picture(`start, ${colorScheme}`);

    await choosePlate(page, 'TH-07 · 20 mm, single V');
    await clean(page, 'bench');
    await press(page, 'e', 'c');
    await clean(page, 'bench with a call');
    await picture(`bench, ${colorScheme}`);
    await page.getByRole('button', { name: 'Done' }).press('Enter');

    for (const [name, title] of [['Help', 'Help'], ['Written procedure', 'Written procedure'], ['Caution', 'Caution']]) {
      await page.getByRole('button', { name, exact: true }).first().click();
      const dialog = page.getByRole('dialog', { name: title });
      await dialog.waitFor();
      await clean(page, title);
      await dialog.getByRole('button', { name: 'Close' }).click();
      await dialog.waitFor({ state: 'detached' });
    }

    await page.getByRole('button', { name: 'Hand in', exact: true }).click();
    await page.getByRole('dialog').waitFor();
    await clean(page, 'hand in');
    await page.getByRole('button', { name: 'Hand in now' }).click();
    await page.getByRole('heading', { level: 1, name: /^Debrief/ }).waitFor();
    await clean(page, 'debrief');
    await picture(`debrief, ${colorScheme}`);
  }, { colorScheme, reducedMotion: 'reduce' });
}

for (const colorScheme of ['light', 'dark']) {
  for (const width of [1440, 360]) {
    journey(`axe finds nothing on the model page, ${colorScheme}, ${width} px`, async ({ page, picture }) => {
      await page.setViewportSize({ width, height: 900 });
      await page.goto(new URL('model.html', address).href);
      await page.getByRole('heading', { level: 1, name: 'The model and its limits' }).waitFor();
      await page.waitForFunction(() => [...document.images].every((image) => image.complete && image.naturalWidth > 0));
      await clean(page, 'model');
      assert.equal(await page.evaluate(() => document.documentElement.scrollWidth), width, 'nothing is wider than the page');
      await picture(`model, ${colorScheme}, ${width}`);
    }, { colorScheme });
  }
}
