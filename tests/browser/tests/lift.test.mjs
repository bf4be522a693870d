// The probe lifted off and set down: by key and by button, seen, said, lasting over a reload, and watched again afterwards.
import assert from 'node:assert/strict';
import { clean } from '../harness/clean.mjs';
import { journey } from '../harness/journey.mjs';
import { choosePlate, firstPicture, press, reading, settled } from '../harness/person.mjs';

const PLATE = 'TH-07 · 20 mm, single V';
/** Longer than the page waits between two savings. */
const SAVED_MS = 1500;

const place = (page) => page.getByRole('slider', { name: 'Probe, place along the weld' }).getAttribute('aria-valuetext');

journey('a lifted probe shows no echo, a scan of it misses its lines, and set down again all is as it was', async ({ page, picture }) => {
  await choosePlate(page, PLATE);
  await press(page, ...Array(11).fill('Shift+ArrowRight'), 'e');
  const before = await reading(page);
  assert.ok(before.percent > 5);
  await press(page, 'u');
  assert.equal(await reading(page), null);
  await page.getByText('Lifted off: no contact.').first().waitFor();
  await page.getByText('The probe is lifted off, so no sound goes into the plate.').first().waitFor();
  assert.match(await place(page), /, lifted off$/);
  await picture('lifted off');
  await clean(page);

  // A reload leaves it in the air.
  await page.waitForTimeout(SAVED_MS);
  await page.reload();
  await firstPicture(page);
  assert.match(await place(page), /, lifted off$/);

  await page.getByRole('tab', { name: 'Recording' }).click();
  const field = (name) => page.getByRole('spinbutton', { name, exact: true });
  for (const [name, mm] of [['From', 100], ['To', 109]]) {
    await field(name).fill(String(mm));
    await field(name).press('Enter');
  }
  await page.getByRole('button', { name: 'Record along the weld' }).click();
  await page.getByText(/^0 of 20 lines recorded in/).waitFor();

  await page.getByRole('tab', { name: 'Scan' }).click();
  await page.getByRole('button', { name: 'Set the probe down' }).click();
  await settled(page);
  assert.doesNotMatch(await place(page), /lifted/);
  await page.getByRole('button', { name: 'Lift the probe off' }).waitFor();
  await page.getByRole('tab', { name: 'Recording' }).click();
  await page.getByRole('button', { name: 'Record along the weld' }).click();
  await page.getByText(/^20 lines recorded in/).waitFor();

  // Handed in, the session watched again shows it in the air where it was.
  await page.getByRole('button', { name: 'Hand in', exact: true }).click();
  await page.getByRole('button', { name: 'Hand in now' }).click();
  await page.getByRole('button', { name: 'Look at the plate once more' }).click();
  const line = page.getByRole('region', { name: 'Your session again' }).getByRole('slider', { name: 'Time of the session' });
  await line.focus();
  await page.keyboard.press('Home');
  await settled(page);
  assert.doesNotMatch(await place(page), /lifted/);
  for (let pressed = 0; !/lifted off$/.test(await place(page)); pressed++) {
    assert.ok(pressed < 80, 'it never was in the air');
    await press(page, 'PageUp');
  }
});
