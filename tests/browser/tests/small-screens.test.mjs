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

for (const [lang, words] of [['en', 'echo height 100'], ['es', 'altura de eco 100']]) {
  journey(`the words of the colour scale lie beside the picture, not over it, on a phone, ${lang}`, async ({ page }) => {
    await page.goto(`${address}?lang=${lang}#bench?plate=th-12`);
    await page.waitForFunction(() => globalThis.trialplate?.times());
    await settled(page);
    const scale = page.locator('.section').getByText(words);
    for (const key of ['e', 's']) {
      await press(page, key);
      const [said, drawn] = [await scale.boundingBox(), await page.locator('.section-stage').boundingBox()];
      assert.ok(said.y + said.height <= drawn.y, `${said.y + said.height} to ${drawn.y} px`);
      await whole(page, '.colour-scale', '.section');
    }
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

for (const [lang, name] of [['en', 'Side'], ['es', 'Lado']]) {
  journey(`the curves of the flaw bench have their whole names on a phone, ${lang}`, async ({ page, picture }) => {
    await page.goto(`${address}?lang=${lang}#flaw`);
    const names = page.locator('.beam-curve text');
    await names.nth(1).waitFor();
    // The curves of a face end far from each other, those of an upright crack and of a pore alike.
    for (const kind of ['root-crack', 'centreline-crack', 'single-pore', 'lack-of-side-wall-fusion']) {
      const curve = await page.locator('.beam-curve path').first().getAttribute('d');
      await page.locator('.board-fields select').first().selectOption(kind);
      await page.waitForFunction((was) => document.querySelectorAll('.beam-curve').length === 2 && document.querySelector('.beam-curve path').getAttribute('d') !== was, curve);
      assert.deepEqual(await names.allTextContents(), [`${name} A`, `${name} B`]);
      await whole(page, '.beam-curve text, .board-trace .trace-grid text', '.board-trace');
      const [a, b] = await names.evaluateAll((all) => all.map((one) => one.getBoundingClientRect().toJSON()));
      assert.ok(Math.abs(a.y - b.y) > 0.7 * Math.min(a.height, b.height), `${kind}: one lies over the other: ${a.y} and ${b.y}, ${a.height} high`);
    }
    await names.first().scrollIntoViewIfNeeded();
    await picture(`flaw bench, names of curves ${lang}`);
  }, { viewport: { width: 360, height: 740 } });
}

journey('the keys find the sides as they are seen: beside each other on a phone and a block, above each other on a plate', async ({ page }) => {
  const places = () => page.locator('.sides').getByRole('button').evaluateAll((all) => all.map((one) => ({ name: one.textContent, ...one.getBoundingClientRect().toJSON() })));
  const open = async (hash) => {
    await page.goto(`${address}?lang=en${hash}`);
    await page.waitForFunction(() => globalThis.trialplate?.times());
    await settled(page);
  };
  await open('#bench?plate=th-07');
  let [first, second] = await places();
  assert.deepEqual([first.name, second.name], ['Side A', 'Side B']);
  assert.ok(Math.abs(first.top - second.top) < 1 && first.right <= second.left, 'beside each other');
  await page.getByRole('button', { name: 'Side A', exact: true }).focus();
  await page.keyboard.press('Tab');
  assert.equal(await page.evaluate(() => document.activeElement.textContent), 'Side B');
  // Turned over to a wide screen they stand above each other, side B as on the drawing.
  await page.setViewportSize({ width: 1366, height: 850 });
  await page.waitForFunction(() => document.querySelector('.sides button').textContent === 'Side B');
  [first, second] = await places();
  assert.ok(first.bottom <= second.top, 'above each other');
  // On a block they are beside each other on any screen.
  await open('#bench?block=radius-block');
  await page.waitForFunction(() => document.querySelector('.sides button').textContent === 'Side A');
  [first, second] = await places();
  assert.deepEqual([first.name, second.name], ['Side A', 'Side B']);
  assert.ok(first.right <= second.left, 'beside each other');
}, { viewport: { width: 360, height: 740 } });
