// Reports for three readers after handing in: what each is told, nothing that runs, and sheets that print.
import assert from 'node:assert/strict';
import { readFile, writeFile } from 'node:fs/promises';
import { journey } from '../harness/journey.mjs';
import { overhang } from '../harness/overhang.mjs';
import { choosePlate } from '../harness/person.mjs';

const OUT = new URL('../out/', import.meta.url);
const HOSTILE = '<img src=x onerror=alert(1)>';
const ANSWERS = ['kind,start_mm,end_mm,offset_mm,depth_mm,height_mm,amplitude_db,side,leg,decision,remark',
  `lack-of-side-wall-fusion,60,92,-6,8,3,-2,B,2,reject,"${HOSTILE}"`,
  'root-crack,180,200,0.5,18.5,3,1,A,1,reject,',
  'single-pore,240,243,2,10,1.5,-8,A,2,accept,small',
  'slag-line,120,,3,12,,-6,A,2,reject,'].join('\r\n');

async function saved(page, button) {
  const [download] = await Promise.all([page.waitForEvent('download'), page.getByRole('button', { name: button }).click()]);
  return readFile(await download.path(), 'utf8');
}

journey('three readers get their reports after handing in', async ({ page, context }) => {
  await choosePlate(page, 'TH-07 · 20 mm, single V');
  await page.getByRole('tab', { name: /^Answers/ }).click();
  await page.getByText('Answers as a file').click();
  await page.getByLabel('Open answers from a file …').setInputFiles({ name: 'a.csv', mimeType: 'text/csv', buffer: Buffer.from(ANSWERS) });
  await page.getByRole('button', { name: /^Call 4/ }).waitFor();
  await page.getByRole('button', { name: 'Hand in', exact: true }).click();
  const question = page.getByRole('dialog', { name: 'Hand in the answer sheet?' });
  await question.getByRole('textbox', { name: /^Your name/ }).fill(HOSTILE);
  await question.getByRole('button', { name: 'Hand in now' }).click();
  await page.getByRole('heading', { name: 'Reports to print' }).waitFor();
  // No key of the scheme where students read.
  assert.doesNotMatch(await page.getByRole('main').innerText(), /scheme\./);

  for (const [reader, told] of [['examiner', /Line of the plate file|not called/], ['welder', /2 of 4\./], ['engineer', /Findings under the acceptance rule/]]) {
    const words = await saved(page, `For the ${reader}`);
    assert.match(words, told, reader);
    assert.match(words, /no finding on a real weld may rest on this/);
    assert.doesNotMatch(words, /<script|<img src=x|https?:\/\/(?!www\.w3\.org\/2000\/svg)/, reader);
    assert.ok(words.includes('&lt;img src=x onerror=alert(1)&gt;'), reader);
    assert.equal(/class="truth"/.test(words), reader === 'examiner', reader);
    const paper = await context.newPage();
    await paper.setContent(words);
    const wide = (await overhang(paper)) === 0;
    assert.ok(wide, `${reader} fits its window`);
    await writeFile(new URL(`report-${reader}.html`, OUT), words);
    await writeFile(new URL(`report-${reader}.pdf`, OUT), await paper.pdf({ preferCSSPageSize: true }));
    await paper.setViewportSize({ width: 360, height: 740 });
    assert.equal(await overhang(paper), 0, `${reader} fits a phone`);
    await paper.close();
  }
});
