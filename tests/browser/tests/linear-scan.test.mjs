// A linear scan in the operator's hand: chosen in the set-up, explained, seen as parallel beams, read and kept.
import assert from 'node:assert/strict';
import { clean } from '../harness/clean.mjs';
import { journey } from '../harness/journey.mjs';
import { choosePlate, firstPicture, settled } from '../harness/person.mjs';

const PLATE = 'TH-07 · 20 mm, single V';
const SAVED_MS = 1500;

const panel = (page) => page.getByRole('tabpanel', { name: 'Set-up' });
const field = (page, name) => panel(page).getByRole('spinbutton', { name, exact: true });
const says = (page, words) => panel(page).getByRole('status').filter({ hasText: words }).waitFor();
const kind = (page) => panel(page).getByRole('combobox', { name: 'Kind of scan' });

async function enter(page, name, value) {
  await field(page, name).fill(String(value));
  await field(page, name).press('Enter');
}

journey('one angle from many places: chosen, drawn side by side, read, kept, and back again', async ({ page, picture }) => {
  await choosePlate(page, PLATE);
  await page.getByRole('tab', { name: 'Set-up' }).click();
  await says(page, 'As the procedure says.');
  assert.equal(await field(page, 'Elements from beam to beam').isVisible(), false);
  await kind(page).selectOption({ label: 'linear: one angle, many places' });
  await panel(page).getByText('the group of elements moves on along the array').waitFor();
  await says(page, /The new set-up is in use: 2\d beams\. Not as the procedure says: beams\./);
  assert.equal(await field(page, 'Largest angle').isVisible(), false);
  assert.equal(await field(page, 'Angle of all beams').inputValue(), '55.0');
  await panel(page).getByRole('img', { name: /^Drawing of the beams over the weld/ }).waitFor();
  await settled(page);
  await picture('linear scan, set-up');
  await clean(page);

  await page.getByRole('tab', { name: 'Scan' }).click();
  const slider = page.getByRole('slider', { name: 'Beam, from the rear' });
  const count = Number(await slider.getAttribute('max'));
  assert.ok(count > 15, `${count} beams`);
  assert.equal(await page.getByRole('slider', { name: 'Beam', exact: true }).count(), 0);
  await page.getByRole('heading', { name: `Echo trace at 55.0°, beam ${await slider.inputValue()} of ${count}` }).waitFor();
  // Over the side-wall flaw of this plate.
  const along = page.getByRole('spinbutton', { name: 'Along weld' });
  await along.fill('128');
  await along.press('Enter');
  await settled(page);
  await page.getByRole('button', { name: 'Gate on next echo' }).click();
  await settled(page);
  await page.getByRole('region', { name: 'Highest echo in the gate' }).getByText(/leg/).first().waitFor();
  await picture('linear scan, bench');

  await page.waitForTimeout(SAVED_MS);
  await page.reload();
  await firstPicture(page);
  await page.getByRole('tab', { name: 'Set-up' }).click();
  await says(page, 'Not as the procedure says: beams.');
  assert.equal(await field(page, 'Angle of all beams').inputValue(), '55.0');
  await kind(page).selectOption({ label: 'sector: many angles, one place' });
  await says(page, 'As the procedure says.');
});

journey('what no linear scan can do is explained beside its fields', async ({ page }) => {
  await choosePlate(page, PLATE);
  await page.getByRole('tab', { name: 'Set-up' }).click();
  await says(page, 'As the procedure says.');
  await kind(page).selectOption({ label: 'linear: one angle, many places' });
  await says(page, 'The new set-up is in use');
  const told = (words) => panel(page).getByRole('alert').filter({ hasText: words }).waitFor();
  await enter(page, 'Elements from beam to beam', 20);
  await told('a picture needs at least 4');
  await enter(page, 'Elements from beam to beam', 2);
  await enter(page, 'Last element', 64);
  await told(/ahead of the wedge.*has to end so many earlier/);
  await enter(page, 'Last element', 50);
  await says(page, 'The new set-up is in use');
  await enter(page, 'Angle of all beams', 30);
  await told('first critical angle');
});
