// The first plate of somebody who calls the first echo there is: told what runs along the weld, what the call lacks, and what is drawn
// afterwards. And a lesson by fingers alone.
import assert from 'node:assert/strict';
import { address, journey } from '../harness/journey.mjs';
import { choosePlate, settled } from '../harness/person.mjs';

journey('who calls what runs along the whole weld is told so, before and after', async ({ page, picture }) => {
  await choosePlate(page, 'TH-07 · 20 mm, single V');
  await page.getByRole('tab', { name: 'Recording' }).click();
  const panel = page.getByRole('tabpanel', { name: 'Recording' });
  // Nothing is hidden here: what is heard is cap and root.
  await panel.getByLabel('To', { exact: true }).fill('40');
  await panel.getByLabel('To', { exact: true }).press('Enter');
  await panel.getByRole('button', { name: 'Record along the weld' }).click();
  await page.getByText(/lines recorded in/).waitFor({ timeout: 60_000 });
  const coach = page.getByRole('region', { name: 'Next step' });
  await coach.getByRole('paragraph').filter({ hasText: /What runs along the whole weld is cap or root; a flaw comes and goes/ }).waitFor();
  await page.getByRole('button', { name: 'Go to the highest echo' }).click();
  await settled(page);
  await page.getByRole('button', { name: 'Call this place' }).click();
  await page.getByText(/^Call 1 begun at [\d.]+\s*mm, without ends: .* Does it run along the whole weld\?/).waitFor();
  await picture('a call without ends');
  await page.getByRole('button', { name: 'Hand in', exact: true }).click();
  const question = page.getByRole('dialog', { name: 'Hand in the answer sheet?' });
  await question.getByText(/^Call 1: start and end are the same place, [\d.]+\s*mm$/).waitFor();
  await question.getByRole('button', { name: 'Hand in now' }).click();
  await page.getByRole('button', { name: 'Take me to flaw 1' }).click();
  const drawn = coach.getByRole('paragraph').filter({ hasText: /^Handed in\. Numbers in diamonds are the flaws, in circles your calls\./ });
  await drawn.waitFor();
  await page.getByRole('checkbox', { name: 'Show where the flaws are' }).uncheck();
  await drawn.waitFor({ state: 'detached' });
}, { reducedMotion: 'reduce' });

journey('a lesson on a phone names what fingers have, and the foot says which next', async ({ page, picture }) => {
  for (const [lang, lesson, told, face] of [['en', 'Lesson', /Then touch the bright spot at the notch/, 'Next echo'],
    ['es', 'Lección', /Después toca la mancha clara de la entalla/, 'Otro eco']]) {
    await page.goto(`${address}?lang=${lang}#bench?lesson=sound-in-steel&step=0`);
    await page.reload();
    const strip = page.getByRole('region', { name: lesson, exact: true });
    await strip.getByText(told).waitFor();
    await page.waitForFunction(() => globalThis.trialplate?.times());
    assert.equal(await page.locator('.dock').getByText(face, { exact: true }).count(), 1);
    await picture(`lesson by fingers, ${lang}`);
    // On a plate there are more buttons at the foot: still one row, none beyond the edge.
    await page.goto(`${address}?lang=${lang}#bench?plate=th-07`);
    await page.reload();
    await page.waitForFunction(() => globalThis.trialplate?.times());
    const tops = await page.locator('.dock-row button').evaluateAll((all) => all.filter((one) => one.checkVisibility()).map((one) => {
      const { top, right } = one.getBoundingClientRect();
      return right <= innerWidth ? Math.round(top) : 'beyond the edge';
    }));
    await picture(`foot of a phone, ${lang}`);
    assert.equal(tops.length, 6);
    assert.equal(new Set(tops).size, 1, tops.join());
  }
}, { viewport: { width: 360, height: 740 }, hasTouch: true });
