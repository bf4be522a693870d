// A whole lesson by keyboard: from the start page through every step to the tick in the list.
import assert from 'node:assert/strict';
import { clean } from '../harness/clean.mjs';
import { address, journey } from '../harness/journey.mjs';
import { firstPicture, openStart, press, settled } from '../harness/person.mjs';

const strip = (page) => page.getByRole('region', { name: 'Lesson', exact: true });
const step = (page, n) => strip(page).getByRole('heading', { name: new RegExp(`step ${n} of 3`) }).waitFor();
const next = (page) => strip(page).getByRole('button', { name: 'Next step' });

/** Presses a button by keyboard: it has the focus, then Enter. */
async function enter(page, button) {
  await button.focus();
  await page.keyboard.press('Enter');
}

/** Takes all hints of the step and does what the last one says: the index offset it names, then E. */
async function follow(page) {
  const hint = strip(page).getByRole('button', { name: /hint/ });
  while (await hint.isVisible()) await enter(page, hint);
  const [, mm] = (await strip(page).getByRole('listitem').filter({ hasText: /into “Index offset”/ }).innerText()).match(/Type ([−\d]+) into/);
  await offset(page, mm.replace('−', '-'));
  await press(page, 'e');
}

async function offset(page, mm) {
  await page.getByRole('spinbutton', { name: 'Index offset' }).focus();
  await page.keyboard.press('Control+a');
  await page.keyboard.type(mm);
  await page.keyboard.press('Enter');
  await settled(page);
}

journey('a whole lesson by keyboard, kept when it is done', async ({ page, picture }) => {
  await openStart(page);
  await enter(page, page.getByRole('button', { name: 'Lessons, step by step' }));
  await page.getByRole('heading', { level: 1, name: 'Lessons' }).waitFor();
  await page.getByText('Steps: 3').first().waitFor();
  await clean(page);
  await picture('lessons');
  await enter(page, page.getByRole('button', { name: 'Begin: Sound in steel' }).first());
  await firstPicture(page);
  await step(page, 1);
  assert.equal(await next(page).isVisible(), false, 'the goal is open at the beginning');
  await clean(page);
  await picture('lesson begun');
  await follow(page);
  await clean(page);
  await enter(page, next(page));
  await step(page, 2);
  await press(page, 'f');
  // Whoever leaves comes back to the same step.
  await next(page).waitFor();
  await enter(page, next(page));
  await step(page, 3);
  // At most a second of work is lost with a page that goes away.
  await page.waitForTimeout(1500);
  await page.reload();
  await firstPicture(page);
  await step(page, 3);

  // Taken up again, the picture is folded.
  await follow(page);
  // The notch at 60 mm stands higher: the gate goes from echo to echo.
  for (let i = 0; i < 6 && !await strip(page).getByText('That is how the upper part').isVisible(); i++) {
    await press(page, 'n');
    await page.waitForTimeout(200);
  }
  await strip(page).getByText('That is how the upper part').waitFor();
  await clean(page);
  await picture('lesson done');
  await enter(page, strip(page).getByRole('link', { name: 'To the lessons' }));
  await page.getByText('✓ Done').waitFor();
});

journey('a flaw turned by the slider of a lesson loses its echo until the goal is reached', async ({ page, picture }) => {
  await page.goto(`${address}?lang=en#bench?lesson=tilt&step=1`);
  await firstPicture(page);
  await step(page, 2);
  const less = strip(page).getByRole('button', { name: 'Tilt of the flaw: less' });
  const fallen = strip(page).getByText('Echo below its highest');
  assert.match(await fallen.innerText(), /highest: 0\.\d\u00a0dB/);
  for (let i = 0; i < 6; i++) {
    await enter(page, less);
    await settled(page);
  }
  await strip(page).getByText('So few degrees').waitFor();
  assert.equal(await strip(page).getByRole('spinbutton', { name: 'Tilt of the flaw' }).inputValue(), '24');
  await clean(page);
  await picture('flaw turned in a lesson');
  // The next step stands the crack as it was.
  await enter(page, next(page));
  await step(page, 3);
  assert.equal(await strip(page).getByRole('spinbutton', { name: 'Tilt of the flaw' }).inputValue(), '30');
});
