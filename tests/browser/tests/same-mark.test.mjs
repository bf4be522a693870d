// A hand-in is marked by the command line to the last digit as the page marked it: every number of both marks is compared.
import assert from 'node:assert/strict';
import { execFileSync } from 'node:child_process';
import { existsSync } from 'node:fs';
import { mkdtemp, readFile, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { KIND } from '../harness/browser.mjs';
import { address, journey } from '../harness/journey.mjs';
import { choosePlate, press } from '../harness/person.mjs';

const ROOT = new URL('../../../', import.meta.url);
const COMMAND = process.env.TRIALPLATE_COMMAND ?? fileURLToPath(new URL('target/debug/trialplate', ROOT));
const plateFile = (name) => fileURLToPath(new URL(`scenarios/plates/${name}.toml`, ROOT));
/** A plate that needs no calibration, one that does and may run dry, and one without a flaw. */
const PLATES = ['th-07', 'th-13', 'th-03'];

/** What the command line makes of a hand-in. */
async function markedNatively(plate, work, read = undefined) {
  assert.ok(existsSync(COMMAND), `${COMMAND} is missing: build it with cargo build --package desk`);
  const path = join(await mkdtemp(join(tmpdir(), 'trialplate-')), 'work.json');
  await writeFile(path, work);
  return JSON.parse(execFileSync(COMMAND, ['mark', plateFile(plate), path, '--json'], { maxBuffer: 1e8 }), read);
}

/** Sits a plate through what the page's wasm exports. Runs, from its source text, in the browser. */
function sat(Bench, Words, { name, text, calls, stated }) {
  const bench = Bench.from_paper(name, new TextEncoder().encode(text));
  let t_ms = 100;
  for (const [side, offset_mm, gain_db] of [['A', 25.4, 46.3], ['B', 31.7, 52]]) {
    bench.set_gain_db((t_ms += 40), gain_db);
    for (let y_mm = 0; y_mm <= 240; y_mm += 2.3) bench.set_pose((t_ms += 230), side, offset_mm, y_mm, 0);
    bench.frame();
  }
  for (const call of calls) bench.add_call((t_ms += 1000), JSON.stringify(call));
  if (stated) bench.set_no_recordable_indication((t_ms += 1000), true);
  const { marks } = JSON.parse(bench.hand_in(Words.of(''), (t_ms += 500)));
  const work = bench.hand_in_file('Ada');
  bench.free();
  return { marks, work };
}

/** Leaves out the English sentences, which only the command has. */
const wordless = (key, value) => (key === 'english' ? undefined : value);

/** What is there, as the marks of an empty sheet tell it. */
const perfect = (marks) => marks.flaws.map(({ kind, extent: { along_mm, across_mm, depth_mm }, decision }) => ({
  kind: kind.toLowerCase().replaceAll(' ', '-'), start_mm: along_mm[0], end_mm: along_mm[1], offset_mm: (across_mm[0] + across_mm[1]) / 2,
  depth_mm: (depth_mm[0] + depth_mm[1]) / 2, height_mm: depth_mm[1] - depth_mm[0], ...(decision && { decision }),
}));

/** Beside the truth by amounts that no decimal number holds, one of it twice, some of it missing, and calls where nothing is. */
function sloppy(calls) {
  const off = (k, most) => most * Math.sin(7.3 * k + 0.4);
  const beside = calls.slice(1).map((call, k) => ({ ...call, start_mm: call.start_mm + off(k, 4), end_mm: call.end_mm - off(k + 1, 5),
    offset_mm: call.offset_mm + off(k + 2, 2), depth_mm: call.depth_mm + off(k + 3, 2.5), height_mm: call.height_mm * (1 + off(k, 0.7)), kind: 'slag-line' }));
  return [...beside, ...beside.slice(0, 1), { start_mm: 1 / 3, end_mm: 9.1, offset_mm: 0.1, depth_mm: 7.7, decision: 'reject' }, { start_mm: 1e300, end_mm: -7 }, {}];
}

/** Sits all sheets of a plate with `sit`, and compares. */
async function compared(sit) {
  for (const plate of PLATES) {
    const text = await readFile(plateFile(plate), 'utf8');
    const told = new Set();
    const compare = async (calls, stated = false) => {
      const { marks, work } = await sit({ name: plate, text, calls, stated });
      const native = await markedNatively(plate, work, wordless);
      assert.deepStrictEqual(native.marks, marks, `${plate}, ${calls.length} calls`);
      assert.deepStrictEqual(JSON.parse(work).mark, { percent: marks.percent, passed: marks.passed });
      assert.equal(native.replayed.last_frame, 'same', 'what the page saw last comes out natively');
      told.add(marks.percent);
      return marks;
    };
    const truth = perfect(await compare([]));
    await compare([], true);
    await compare(truth);
    await compare(sloppy(truth));
    assert.ok(told.size >= (truth.length ? 3 : 2), `the sheets have marks of their own: ${[...told]}`);
  }
}

journey(`marks are the same in ${KIND} and natively`, async ({ page }) => {
  await page.goto(address);
  const module = new URL('wasm/page.js', address).href;
  await page.evaluate(async (module) => {
    const { default: init, Bench, Words } = await import(module);
    await init({ module_or_path: new URL('page_bg.wasm', module) });
    Object.assign(globalThis, { Bench, Words });
  }, module);
  await compared((sitting) => page.evaluate(`(${sat})(globalThis.Bench, globalThis.Words, ${JSON.stringify(sitting)})`));
});

journey('a plate sat with the keys is marked again to the same digit', async ({ page }) => {
  await choosePlate(page, 'TH-07 · 20 mm, single V');
  await press(page, 'Shift+ArrowRight', 'Shift+ArrowRight', 'ArrowRight', 'e', 'c');
  await page.getByRole('button', { name: 'Done' }).press('Enter');
  await press(page, 's', 'ArrowRight', 'e', 'c');
  await page.getByRole('button', { name: 'Done' }).press('Enter');
  await page.getByRole('button', { name: 'Hand in', exact: true }).press('Enter');
  await page.getByRole('dialog', { name: 'Hand in the answer sheet?' }).getByRole('button', { name: 'Hand in now' }).press('Enter');
  await page.getByRole('heading', { level: 1, name: /^Debrief/ }).waitFor();
  const [download] = await Promise.all([page.waitForEvent('download'), page.getByRole('button', { name: 'Save hand-in' }).press('Enter')]);
  const work = await readFile(await download.path(), 'utf8');
  const { marks, replayed } = await markedNatively('th-07', work);
  assert.deepStrictEqual({ percent: marks.percent, passed: marks.passed }, JSON.parse(work).mark);
  assert.equal(marks.calls.length, 2);
  const told = (await page.locator('.verdict li').allInnerTexts()).map((words) => words.replaceAll('\u00a0', ' '));
  assert.deepEqual(told, marks.reasons.map(({ english }) => english));
  assert.equal(replayed.last_frame, 'same');
});
