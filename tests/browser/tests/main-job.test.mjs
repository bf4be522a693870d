// The main job: scan a plate with hidden flaws by keyboard, size and call one, hand in, see the mark.
import assert from 'node:assert/strict';
import { journey } from '../harness/journey.mjs';
import { choosePlate, echoesHere, placeAlong, press, reading, same, settled, truth } from '../harness/person.mjs';

const PLATE = 'th-07';
const STEP_MM = 10;
/** Steps without a higher echo after which a peak is a peak. */
const PATIENCE = 4;

/** Scans the whole length in steps from where the probe is put; all echoes with their places. */
async function scan(page, length_mm) {
  const found = [];
  while ((await placeAlong(page)) > 0) await press(page, 'Shift+ArrowLeft');
  for (let y_mm = 0; y_mm <= length_mm; y_mm += STEP_MM) {
    for (const echo of await echoesHere(page, 6)) found.push({ ...echo, y_mm });
    await press(page, 'Shift+ArrowRight');
  }
  return found;
}

/** What comes and goes: cap and root echo at more than half of the places, a flaw does not. */
function flaws(echoes, length_mm) {
  const places = length_mm / STEP_MM + 1;
  return echoes.filter((echo) => {
    const seen = new Set(echoes.filter((other) => same(other, echo)).map((other) => other.y_mm));
    return seen.size < places / 2;
  });
}

/** Puts the gate on the echo from a place of the section; gives it, or null where it is not among the echoes. */
async function echoAt(page, place) {
  const passed = [];
  await press(page, 'e');
  for (let i = 0; i < 8; i++) {
    const echo = await reading(page);
    if (echo && same(echo, place)) return echo;
    if (!echo || passed.some((one) => same(one, echo))) return null;
    passed.push(echo);
    await press(page, 'n');
  }
  return null;
}

/** The same, with the gain lowered until the echo fits the screen. */
async function unclipped(page, place) {
  let echo = await echoAt(page, place);
  while (echo?.clipped) {
    await press(page, 'Shift+G', 'Shift+G');
    echo = await reading(page);
  }
  return echo;
}

/** Moves by single keys, along and across, to where the echo of a place is highest; gives that echo. */
async function peak(page, place) {
  let best = await unclipped(page, place);
  for (const [there, back] of [['ArrowRight', 'ArrowLeft'], ['ArrowLeft', 'ArrowRight'], ['ArrowUp', 'ArrowDown'], ['ArrowDown', 'ArrowUp']]) {
    let beyond = 0;
    while (beyond < PATIENCE) {
      await press(page, there);
      const echo = await unclipped(page, place);
      beyond += 1;
      if (echo && echo.db > best.db) [best, beyond] = [echo, 0];
    }
    for (; beyond > 0; beyond--) await press(page, back);
  }
  return best;
}

/** Moves along until the echo of a place has fallen by half, and marks the end there. */
async function markEnd(page, place, key, mark) {
  for (let i = 0; i < 60; i++) {
    await press(page, key);
    const echo = await echoAt(page, place);
    if (!echo || echo.db <= place.db - 6) break;
  }
  await press(page, mark);
}

journey('scan a plate, find the lack of fusion, size it, call it, hand in, see the mark', async ({ page, picture }) => {
  const plate = await truth(PLATE);
  const flaw = plate.flaw.find(({ kind }) => kind === 'lack-of-side-wall-fusion');
  const depth_mm = flaw.place.bevel.depth_mm;
  await choosePlate(page, 'TH-07 · 20 mm, single V');
  await page.getByRole('button', { name: 'Reference gain' }).press('Enter');
  await settled(page);

  const sides = { A: flaws(await scan(page, plate.length_mm), plate.length_mm) };
  await press(page, 's');
  sides.B = flaws(await scan(page, plate.length_mm), plate.length_mm);
  const seen = Object.entries(sides).flatMap(([side, echoes]) => echoes.map((echo) => ({ ...echo, side })));
  const over = seen.filter(({ y_mm }) => y_mm > flaw.start_mm && y_mm < flaw.start_mm + flaw.length_mm);
  assert.ok(over.length > 0, `nothing that comes and goes between the ends of the flaw; seen: ${JSON.stringify(seen)}`);
  const highest = over.reduce((a, b) => (b.db > a.db ? b : a));

  if (highest.side === 'A') await press(page, 's');
  while ((await placeAlong(page)) > highest.y_mm) await press(page, 'Shift+ArrowLeft');
  while ((await placeAlong(page)) < highest.y_mm) await press(page, 'ArrowRight');
  const top = await peak(page, highest);
  await picture('lack of fusion at its peak');
  assert.ok(Math.abs(top.depth_mm - depth_mm) <= 1, `depth ${top.depth_mm} mm read, ${depth_mm} mm true`);

  assert.ok(await echoAt(page, top), 'the echo is in the gate again');
  await press(page, 'c');
  const call = page.getByRole('group', { name: 'Call 1', exact: true });
  await call.getByRole('combobox', { name: 'Kind' }).selectOption({ label: 'Lack of side-wall fusion' });
  await call.getByRole('combobox', { name: 'Decision' }).selectOption({ label: 'reject' });
  await call.getByRole('spinbutton', { name: 'Height' }).fill(String(flaw.height_mm));
  await call.getByRole('button', { name: 'Done' }).press('Enter');
  const middle = await placeAlong(page);
  await markEnd(page, top, 'ArrowLeft', '[');
  while ((await placeAlong(page)) < middle) await press(page, 'ArrowRight');
  await markEnd(page, top, 'ArrowRight', ']');
  await page.getByRole('button', { name: /^Call 1/ }).press('Enter');
  const figure = async (name) => Number(await call.getByRole('spinbutton', { name, exact: true }).inputValue());
  assert.ok(Math.abs((await figure('Depth')) - depth_mm) <= 1, 'the call took its depth from the gate');
  const ends = [await figure('Start'), await figure('End')];
  const true_ends = [flaw.start_mm, flaw.start_mm + flaw.length_mm];
  assert.ok(ends.every((end, i) => Math.abs(end - true_ends[i]) <= 5), `ends ${ends} mm called, ${true_ends} mm true`);
  await picture('call');

  await page.getByRole('button', { name: 'Hand in' }).press('Enter');
  const question = page.getByRole('dialog', { name: 'Hand in the answer sheet?' });
  await question.getByText('Calls on the sheet: 1').waitFor();
  await question.getByRole('button', { name: 'Hand in now' }).press('Enter');
  await page.getByRole('heading', { level: 1, name: /^Debrief/ }).waitFor();
  await picture('debrief');
  await page.getByText(/^Not passed/).first().waitFor();
  for (const part of ['Detection', 'Place along', 'Place across', 'Length', 'Depth', 'Height', 'Kind', 'Decision']) {
    const row = await page.getByRole('row', { name: new RegExp(`^${part} `) }).innerText();
    assert.match(row, /\b(\d+) of \1\b/, `full points: ${row}`);
  }
  const missed = page.getByRole('listitem').filter({ hasText: /^Missed/ });
  assert.equal(await missed.count(), plate.flaw.length - 1, 'the flaws nobody called are named');
  assert.equal(await page.getByRole('img', { name: /truth and calls$/ }).count(), 3, 'drawn from three sides');
});
