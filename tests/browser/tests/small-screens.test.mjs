// What was cut once, is whole: labels in the section, tabs, the strip of a lesson.
import assert from 'node:assert/strict';
import { address, journey } from '../harness/journey.mjs';
import { press, settled } from '../harness/person.mjs';

/** Whether each element of a selector that is seen lies within another one, sideways. */
const within = (page, inner, outer) => page.evaluate(([one, other]) => [...document.querySelectorAll(one)].filter((element) => element.checkVisibility()).map((element) => {
  const [a, b] = [element.getBoundingClientRect(), element.closest(other).getBoundingClientRect()];
  return { words: element.textContent, whole: a.left >= b.left - 0.5 && a.right <= b.right + 0.5 };
}), [inner, outer]);

async function whole(page, inner, outer) {
  const found = await within(page, inner, outer);
  assert.ok(found.length > 0, `${inner} is not seen`);
  assert.deepEqual(found.filter((one) => !one.whole), [], inner);
}

for (const query of ['?lang=en&units=in', '?lang=es&units=mm', '?lang=es&units=in']) {
  journey(`depth and gate are told whole in the section of a phone, ${query}`, async ({ page, picture }) => {
    await page.goto(`${address}${query}#bench?plate=th-07`);
    await page.waitForFunction(() => globalThis.trialplate?.times());
    await settled(page);
    for (const side of ['A', 'B']) {
      await press(page, 'e');
      await whole(page, '.reading-name, .gate-name', '.section-stage');
      if (side === 'A') await press(page, 's');
    }
    await page.locator('.section-stage').scrollIntoViewIfNeeded();
    await picture(`section on a phone ${query}`);
  }, { viewport: { width: 360, height: 740 } });
}

journey('all tabs are whole in Spanish with ten calls, and a wedge too high for its drawing ends in a wave', async ({ page, picture }) => {
  await page.goto(`${address}?lang=es#bench?plate=th-07`);
  await page.waitForFunction(() => globalThis.trialplate?.times());
  await settled(page);
  await press(page, 'e', ...Array(10).fill('c'), 'Escape', '1');
  assert.match(await page.getByRole('tab').last().innerText(), /Respuestas\s*10/);
  await whole(page, '[role=tab]', '.tabs');
  await picture('tabs in Spanish');
  const broken = await page.evaluate(() => document.querySelector('#section-whole path').getAttribute('d').includes('q'));
  const top = await page.evaluate(() => document.querySelector('.section-above .wedge').getBoundingClientRect().top
    - document.querySelector('.section-stage').getBoundingClientRect().top);
  assert.equal(broken, top < 0, `the wedge begins ${top} px below the edge`);
}, { viewport: { width: 1366, height: 768 } });

journey('the strip of a lesson is folded and unfolded on a phone; a hint unfolds it', async ({ page, picture }) => {
  await page.goto(`${address}?lang=en#bench?lesson=sound-in-steel`);
  await page.getByRole('region', { name: 'Lesson', exact: true }).waitFor();
  const strip = page.getByRole('region', { name: 'Lesson', exact: true });
  await strip.getByText('Sound leaves the wedge').waitFor();
  const height = async () => (await strip.boundingBox()).height;
  const open = await height();
  await strip.getByRole('button', { name: 'Shorter' }).click();
  await strip.getByText('Sound leaves the wedge').waitFor({ state: 'hidden' });
  assert.ok(await height() < 0.25 * 740, `${await height()} of 740 px, ${open} before`);
  await strip.getByText('The echo is on the first leg').waitFor();
  await picture('lesson folded');
  await strip.getByRole('button', { name: 'Give me a hint' }).click();
  await strip.getByText('Sound leaves the wedge').waitFor();
  assert.equal(await strip.getByRole('button', { name: 'Shorter' }).getAttribute('aria-expanded'), 'true');
}, { viewport: { width: 360, height: 740 } });
