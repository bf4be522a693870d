// Plate files that are wrong: a sentence with the line and what was expected, and the open session intact.
import assert from 'node:assert/strict';
import { mkdtemp, open, rm, writeFile } from 'node:fs/promises';
import os from 'node:os';
import path from 'node:path';
import { journey } from '../harness/journey.mjs';
import { choosePlate, openFile, placeAlong, plateText, press } from '../harness/person.mjs';

const GOOD = await plateText('th-07');
const GIGABYTE = 2 ** 30;

/** The good file with one line changed; fails when there is no such line. */
function changed(line, to) {
  const text = GOOD.replace(line, to);
  assert.notEqual(text, GOOD, `the plate has no line like ${line}`);
  return text;
}
const lineOf = (text, words) => text.split('\n').findIndex((line) => line.includes(words)) + 1;

const inches = changed(/^thickness_mm = .*$/m, 'thickness_in = 0.79');
const unknown = changed(/^kind = "lack-of-side-wall-fusion"$/m, 'kind = "lack-of-patience"');
const outside = changed(/^start_mm = .*$/m, 'start_mm = 5000.0');
const BAD = [
  ['a wrong unit', Buffer.from(inches), [`:${lineOf(inches, 'thickness_in')}`, 'thickness_in', 'thickness_mm']],
  ['an unknown kind', Buffer.from(unknown), [`:${lineOf(unknown, 'lack-of-patience')}`, 'lack-of-patience', 'lack-of-side-wall-fusion']],
  ['a flaw outside the plate', Buffer.from(outside), [':', 'start_mm', '5000', 'expected']],
  ['a gigabyte of zeros', null, ['expected at most']],
  ['bytes that are no text', Buffer.concat([Buffer.from(GOOD), Buffer.from([0xff, 0xfe, 0x0a])]), [`:${GOOD.split('\n').length}`, 'UTF-8']],
  ['nothing', Buffer.alloc(0), ['empty']],
  ['a picture', Buffer.from([0x89, 0x50, 0x4e, 0x47, 0x0d, 0x0a, 0x1a, 0x0a]), ['UTF-8']],
];

async function written(folder, content) {
  const file = path.join(folder, 'plate.toml');
  if (content) await writeFile(file, content);
  else {
    // All zeros, but a hole on the disk.
    const handle = await open(file, 'w');
    await handle.truncate(GIGABYTE);
    await handle.close();
  }
  return file;
}

journey('bad plate files get a sentence, and the open session stays', async ({ page, picture }) => {
  const folder = await mkdtemp(path.join(os.tmpdir(), 'trialplate-'));
  try {
    await choosePlate(page, 'TH-07 · 20 mm, single V');
    await press(page, 'Shift+ArrowRight', 'ArrowRight', 'e', 'c');
    await page.getByRole('button', { name: 'Done' }).press('Enter');
    const place = await placeAlong(page);
    for (const [name, content, words] of BAD) {
      await page.getByRole('link', { name: 'Trialplate' }).press('Enter');
      await page.getByRole('heading', { level: 1, name: 'Trialplate' }).waitFor();
      await openFile(page, await written(folder, content));
      const alert = page.getByRole('alert');
      await alert.waitFor();
      const said = await alert.innerText();
      for (const word of words) assert.ok(said.includes(word), `${name}: “${word}” is missing in: ${said}`);
      assert.match(said, /The plate on the bench is untouched/);
      await picture(`bad file, ${name}`);
      await alert.getByRole('button', { name: 'Back to the plate on the bench' }).press('Enter');
      await page.getByRole('region', { name: 'Answer sheet' }).getByRole('button', { name: /^Call 1/ }).waitFor();
      assert.equal(await placeAlong(page), place, name);
      await press(page, 'ArrowRight', 'ArrowLeft');
    }
  } finally {
    await rm(folder, { recursive: true });
  }
});
