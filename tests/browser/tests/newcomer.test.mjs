// Somebody who knows nothing of it: from the start page to the first correct call, by what the page offers.
import assert from 'node:assert/strict';
import { journey } from '../harness/journey.mjs';
import { firstPicture, openStart, truth } from '../harness/person.mjs';

const MOST_ACTIONS = 25;
/** How far a call may lie beside the flaw and still be one of it, mm. */
const BESIDE_MM = 3;

journey(`from the start page to the first correct call in under ${MOST_ACTIONS} actions`, async ({ page, picture }) => {
  const { flaw: flaws } = await truth('th-01');
  let actions = 0;
  const press = async (role, name) => {
    actions += 1;
    await page.getByRole(role, { name }).first().click();
  };
  await openStart(page);
  await press('button', 'Begin with the first plate');
  await firstPicture(page);
  // The first word is how to move, not what to do with an echo.
  await page.getByRole('region', { name: 'Next step' }).getByText(/^Drag the blue probe/).waitFor();
  await press('tab', 'Recording');
  await press('button', 'Record along the weld');
  const views = page.getByRole('region', { name: 'Recorded scan' });
  await page.getByText(/^\d+ lines recorded in/).waitFor({ timeout: 60_000 });
  await picture('newcomer, recorded');
  // The highest echo is shown; the page says nothing of flaws, and cap or root would run along the whole weld.
  await press('button', 'Call this place');
  await views.waitFor();
  const call = page.getByRole('group', { name: 'Call 1', exact: true });
  await call.waitFor();
  const figure = async (name) => Number(await call.getByRole('spinbutton', { name, exact: true }).inputValue());
  const [start, end] = [await figure('Start'), await figure('End')];
  const hit = flaws.find(({ start_mm, length_mm }) => start < start_mm + length_mm + BESIDE_MM && end > start_mm - BESIDE_MM);
  assert.ok(hit, `called ${start} to ${end} mm; flaws at ${flaws.map(({ start_mm, length_mm }) => `${start_mm}–${start_mm + length_mm}`)}`);
  // The same is said by the mark.
  await press('button', 'Hand in');
  await press('button', 'Hand in now');
  await page.getByRole('heading', { level: 1, name: /^Debrief/ }).waitFor();
  assert.equal(await page.getByRole('listitem').filter({ hasText: /^Hit/ }).count(), 1, 'the call is a hit');
  assert.ok(actions < MOST_ACTIONS, `${actions} actions`);
  console.log(`first correct call and its mark after ${actions} actions`);
});
