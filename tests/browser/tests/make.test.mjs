// A plate is drawn: flaw added, moved by keyboard and pointer, the text follows and leads, shared and sat.
import assert from 'node:assert/strict';
import { cleanInEveryLook, pictures } from '../harness/clean.mjs';
import { address, journey } from '../harness/journey.mjs';
import { overhang } from '../harness/overhang.mjs';
import { firstPicture, openStart } from '../harness/person.mjs';

journey('a plate drawn and shared', async ({ page, picture }) => {
  await openStart(page);
  await page.getByRole('button', { name: 'Draw a plate' }).press('Enter');
  await page.getByRole('heading', { level: 1, name: 'Draw a plate' }).waitFor();
  const file = page.getByRole('textbox', { name: 'Plate file' });
  const text = () => file.inputValue();
  const until = (words) => page.waitForFunction((wanted) => new RegExp(wanted).test(document.querySelector('#make-text').value), words);
  await until('single-v');
  await page.getByText('No flaw yet').waitFor();
  await file.fill(`# my own remark\n${await text()}`);
  await page.getByRole('combobox', { name: 'Kind' }).selectOption('centreline-crack');
  await page.getByRole('button', { name: 'Add this flaw' }).press('Enter');
  await until('kind = "centreline-crack"');
  assert.match(await text(), /^# my own remark/);
  await page.getByText(/^A [+−]?\d/).waitFor();
  await page.getByText(/^B [+−]?\d/).waitFor();

  const start = Number((await text()).match(/start_mm = ([\d.]+)/)[1]);
  const onPlan = page.getByRole('region', { name: /^Plate from above/ }).getByRole('button', { name: /^Flaw 1/ });
  await onPlan.focus();
  await page.keyboard.press('Shift+ArrowRight');
  await until(`start_mm = ${start + 5}`);
  await page.getByRole('button', { name: 'Undo' }).press('Enter');
  await until(`start_mm = ${start}`);
  const box = await onPlan.boundingBox();
  await page.mouse.move(box.x + box.width / 2, box.y + box.height / 2);
  await page.mouse.down();
  await page.mouse.move(box.x + box.width / 2 + 80, box.y + box.height / 2, { steps: 5 });
  await page.mouse.up();
  await page.waitForFunction((was) => Number(document.querySelector('#make-text').value.match(/start_mm = ([\d.]+)/)[1]) > was + 10, start);

  // A place that cannot be is refused in words, and the text stays a plate.
  const depth = page.getByRole('spinbutton', { name: 'Depth of its middle' });
  await depth.fill('900');
  await depth.press('Enter');
  await page.getByText(/Not changed: plate\.flaw\[0\]/).waitFor();
  // What is typed wrong is told with its line, and the drawing stays.
  const sound = await text();
  await file.fill(sound.replace(/thickness_mm = [\d.]+/, 'thickness_mm = 900.0'));
  await page.getByRole('button', { name: /^Line \d+/ }).waitFor();
  await file.fill(sound);
  await page.getByRole('button', { name: /^Line \d+/ }).waitFor({ state: 'detached' });
  await page.getByText('It can be sat fairly').waitFor();
  await cleanInEveryLook(page);
  await pictures(page, picture, 'plate maker');
  await page.setViewportSize({ width: 360, height: 740 });
  assert.equal(await overhang(page), 0, 'nothing is wider than the page');
  await pictures(page, picture, 'plate maker, 360');

  await page.getByRole('button', { name: 'Share as a link' }).click();
  const link = await page.getByRole('textbox', { name: 'Link' }).inputValue();
  assert.match(link, /#plate-text=[\w-]+$/);
  await page.getByRole('button', { name: 'Close' }).click();
  await page.goto(link);
  await firstPicture(page);
}, { reducedMotion: 'reduce' });

journey('a broken link gets a sentence', async ({ page }) => {
  await page.goto(`${address}#plate-text=AAAA`);
  await page.getByText(/This link holds no plate|shared-plate\.toml/).first().waitFor();
});
