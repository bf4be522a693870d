// A bench that is not calibrated is calibrated by keyboard, the plate is wetted, and both last over a reload.
import assert from 'node:assert/strict';
import { clean } from '../harness/clean.mjs';
import { journey } from '../harness/journey.mjs';
import { firstPicture, openFile, openStart, plateText, press, settled } from '../harness/person.mjs';

/** Longer than the page waits between two savings. */
const SAVED_MS = 1500;
const panel = (page) => page.getByRole('tabpanel', { name: 'Calibration' });
const says = (page, words) => panel(page).getByText(words).first().waitFor();
const advises = (page, words) => page.getByRole('region', { name: 'Next step' }).getByText(words).waitFor();
const openPanel = (page) => page.getByRole('tab', { name: 'Calibration' }).click();

async function openBench(page) {
  await openStart(page);
  const text = await plateText('th-07');
  const own = `${text}\n[procedure.bench]\ncalibrated = false\nalways_wet = false\n`;
  await openFile(page, { name: 'own.toml', mimeType: 'text/plain', buffer: Buffer.from(own) });
  await firstPicture(page);
}

journey('a bench is calibrated by keyboard and stays so', async ({ page, picture }) => {
  await openBench(page);
  await advises(page, 'Open the panel Calibration and go through its steps');
  await openPanel(page);
  await says(page, 'This bench is not calibrated');
  await panel(page).getByRole('button', { name: 'Speed in the metal' }).press('Enter');
  for (const next of ['Delay and exit point', 'Beam angles', 'Same height at all angles', 'Same height at all depths', 'Encoder']) {
    const slider = panel(page).getByRole('slider', { name: 'Probe on the block' });
    await slider.waitFor();
    assert.equal(await panel(page).getByRole('button', { name: 'Accept' }).isDisabled(), true);
    await slider.press('Home');
    await slider.press('End');
    await panel(page).getByText('That is enough.').waitFor({ timeout: 60_000 });
    await picture(`calibration, before ${next}`);
    await clean(page);
    await panel(page).getByRole('button', { name: 'Accept' }).press('Enter');
    await panel(page).getByRole('button', { name: `Next: ${next}` }).press('Enter');
  }
  await says(page, /% off\.$/);
  await panel(page).getByRole('button', { name: 'Accept' }).press('Enter');
  await says(page, 'All steps are done.');
  await advises(page, 'The plate is dry under the probe');
  await says(page, /: −?0\.\d\d\s% off\.$/);

  await panel(page).getByRole('button', { name: 'Check again' }).press('Enter');
  const again = panel(page).getByRole('slider', { name: 'Probe on the block' });
  await again.waitFor();
  const note = panel(page).getByRole('button', { name: 'Write the check down' });
  assert.equal(await note.isDisabled(), true);
  await again.press('Home');
  await again.press('End');
  await panel(page).getByText(/^The beam that is farthest off reads −?[012]\.?\d*\sdB/).waitFor({ timeout: 60_000 });
  await panel(page).locator('button:enabled', { hasText: 'Write the check down' }).waitFor();
  await clean(page);
  await note.press('Enter');
  await says(page, '✓ Good: what you have scanned up to now stands.');
  await picture('calibration, checked again');
  await clean(page);

  await page.waitForTimeout(SAVED_MS);
  await page.reload();
  await firstPicture(page);
  await openPanel(page);
  await says(page, 'All steps are done.');
}, { viewport: { width: 1440, height: 900 } });

journey('a dry plate says so and a wet one shows its film', async ({ page, picture }) => {
  await openBench(page);
  await openPanel(page);
  await says(page, /^Dry under the probe: echoes lose 34\sdB\./);
  await page.getByRole('slider', { name: 'Probe, place along the weld' }).focus();
  await press(page, 'w');
  await says(page, 'Wet under the probe: good contact.');
  await advises(page, 'This bench is not calibrated');
  await settled(page);
  await picture('contact, wet plate');
  await clean(page);
});
