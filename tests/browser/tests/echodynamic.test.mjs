// The echodynamic curves of the live gate, along the weld and across it: what they say is what the gate read on the way.
import assert from 'node:assert/strict';
import { journey } from '../harness/journey.mjs';
import { choosePlate, press, reading, settled } from '../harness/person.mjs';

const PLATE = 'TH-07 · 20 mm, single V';
/** Readings are whole percents, places tenths. */
const TOLERANCE_MM = 0.25;
const STEPS = 16;

/** Where heights over places have dropped by 6 dB from the highest: the outermost places, linear in between. */
function dropped(found) {
  const [places, values] = [found.map(([place]) => place), found.map(([, height]) => height)];
  const half = Math.max(...values) / 10 ** (6 / 20);
  const [first, last] = [values.findIndex((value) => value >= half), values.findLastIndex((value) => value >= half)];
  const cross = (out, inside) => places[out] + ((half - values[out]) / (values[inside] - values[out])) * (places[inside] - places[out]);
  return [cross(first - 1, first), cross(last + 1, last)];
}

// Square to the bevel the echo is far higher than where it was called.
for (const [way, name, [out, back], field, quieter_db, says] of [
  ['along', 'Echo along the weld', ['ArrowLeft', 'ArrowRight'], 'Along weld', 8, /^Dropped by 6\sdB at (\S+) and (\S+)\smm: (\S+)\smm\.$/],
  ['across', 'Echo, in and out', ['ArrowDown', 'ArrowUp'], 'Index offset', 18, /^Dropped by 6\sdB at index offsets (\S+) and (\S+)\smm: (\S+)\smm\.$/],
]) {
  journey(`the echodynamic curve ${way} drops where the gate read half of the highest`, async ({ page, picture }) => {
    const place = async () => Number(await page.getByRole('spinbutton', { name: field, exact: true }).inputValue());
    await choosePlate(page, PLATE);
    await press(page, ...Array(11).fill('Shift+ArrowRight'), 'e');
    await press(page, ...Array(quieter_db).fill('Shift+G'), 'm', ...Array(STEPS).fill(out));
    const found = new Map();
    for (let step = 0; step <= 2 * STEPS; step++) {
      const read = await reading(page);
      assert.ok(!read?.clipped, 'the echo stays on the screen');
      found.set(await place(), read?.percent ?? 0);
      if (step < 2 * STEPS) await press(page, back);
    }
    const heights = [...found].sort(([a], [b]) => a - b);
    const [from, to] = dropped(heights);
    assert.ok(to - from > 2 && heights[0][1] < 10 && heights.at(-1)[1] < 10, JSON.stringify(heights));
    const curve = page.getByRole('group', { name: 'Peak memory of the gate' }).locator('div', { has: page.getByRole('heading', { name }) }).last();
    const words = curve.getByText(says);
    await words.waitFor();
    await settled(page);
    const [, a, b, size] = (await words.innerText()).match(says).map(Number);
    for (const [said, read] of [[a, from], [b, to], [size, to - from]]) {
      assert.ok(Math.abs(said - read) < TOLERANCE_MM, `${said} said, ${read} read off ${JSON.stringify(heights)}`);
    }
    await picture(`echodynamic curve ${way}`);
  });
}
