// Help stands beside the bench: it works with the echo in the gate, explains words and controls, and loses nothing.
import assert from 'node:assert/strict';
import { cleanInEveryLook } from '../harness/clean.mjs';
import { journey } from '../harness/journey.mjs';
import { choosePlate, openStart, placeAlong, press, reading, settled } from '../harness/person.mjs';

/** The numbers of a line such as "43.2 mm × cos 55.0° = 24.8 mm down …". */
const figures = (line) => [...line.matchAll(/\d+(\.\d+)?/g)].map(([one]) => Number(one));

journey('help works out the echo in the gate, and the plate stays on the bench', async ({ page, picture }) => {
  await choosePlate(page, 'TH-07 · 20 mm, single V');
  await press(page, 'Shift+ArrowRight', 'e');
  const place = await placeAlong(page);
  await page.keyboard.press('?');
  const help = page.getByRole('dialog', { name: 'Help' });
  await help.getByRole('heading', { name: 'The echo in your gate now' }).waitFor();
  // The keys still move the probe, and what is read there is worked out anew.
  await press(page, 'ArrowRight', 'n');
  assert.equal(await placeAlong(page), place + 1);
  const echo = await reading(page);
  const lines = await help.getByRole('listitem').filter({ hasText: '°' }).allInnerTexts();
  const [path, angle, surface] = figures(lines.find((line) => line.includes('sin')));
  assert.ok(Math.abs(path * Math.sin((angle * Math.PI) / 180) - surface) < 0.1, lines.join('\n'));
  const [down, thickness] = figures(lines.find((line) => line.includes('cos'))).slice(2);
  const fold = down % (2 * thickness);
  assert.ok(Math.abs((fold > thickness ? 2 * thickness - fold : fold) - echo.depth_mm) < 0.15, `${lines} for depth ${echo.depth_mm}`);
  await picture('help');
  await page.keyboard.press('?');
  await help.waitFor({ state: 'detached' });
  assert.equal(await placeAlong(page), place + 1, 'nothing is lost by looking it up');
});

journey('help is there on every place, and axe finds nothing in it', async ({ page }) => {
  await openStart(page);
  await page.getByRole('button', { name: 'Help', exact: true }).click();
  const help = page.getByRole('dialog', { name: 'Help' });
  await help.getByText('Put the gate on an echo, and its numbers are worked out here.').waitFor();
  assert.ok(await help.getByRole('button', { name: 'Close' }).evaluate((button) => button.getBoundingClientRect().bottom <= innerHeight), 'Close is in sight');
  for (const part of ['How to read it', 'Controls', 'Keys', 'Words']) {
    await help.getByRole('radio', { name: part }).check();
    await cleanInEveryLook(page, part);
  }
  await help.getByRole('textbox', { name: 'Find a word' }).fill('index off');
  assert.deepEqual(await help.getByRole('term').allInnerTexts(), ['Index offset']);
  await help.getByRole('textbox', { name: 'Find a word' }).fill('xyzzy');
  await help.getByText('No such word here.').waitFor();
  await help.getByRole('button', { name: 'Close' }).click();
  await help.waitFor({ state: 'detached' });
});

journey('each control says what it does', async ({ page }) => {
  await choosePlate(page, 'TH-07 · 20 mm, single V');
  await settled(page);
  const side = page.getByRole('tabpanel', { name: 'Scan' });
  for (const [role, name] of [['spinbutton', 'Gain'], ['spinbutton', 'Beam'], ['spinbutton', 'Index offset'], ['spinbutton', 'Skew'], ['combobox', 'Probe is moved']]) {
    const control = side.getByRole(role, { name }).first();
    const words = await control.getAttribute('title');
    assert.ok(words?.length > 20, `${name} explains itself`);
    assert.equal(await control.getAttribute('aria-description'), words);
  }
});
