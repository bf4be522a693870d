// The golden frames of tests/digests, computed by the page's wasm in Node and in the browser.
import assert from 'node:assert/strict';
import { readFile } from 'node:fs/promises';
import { test } from 'node:test';
import { Worker } from 'node:worker_threads';
import { KIND } from '../harness/browser.mjs';
import { address, journey } from '../harness/journey.mjs';

const ROOT = new URL('../../../', import.meta.url);
const golden = JSON.parse(await readFile(new URL('tests/digests/golden.json', ROOT)));
const plates = {};
for (const { plate } of golden) {
  plates[plate] ??= await readFile(new URL(plate, ROOT), 'utf8');
}

/** Makes a golden frame anew. Runs in Node and, from its source text, in the browser. */
function made(Bench, plates, asked) {
  const bench = Bench.from_paper(asked.plate, new TextEncoder().encode(plates[asked.plate]));
  bench.set_pose(0, asked.side, asked.index_offset_mm, asked.y_mm, asked.skew_deg);
  bench.set_gain_db(0, asked.gain_db);
  // The page has no control for the lower face, a session's log has.
  if (asked.face !== 'upper') bench.restore(bench.log().replaceAll('"face":"upper"', `"face":"${asked.face}"`));
  bench.frame();
  bench.take_trace();
  const beams = JSON.parse(bench.about()).beams.length;
  const frame = { ...asked, beams, samples: bench.trace_length(), digest: bench.digest() };
  bench.free();
  return frame;
}

/** What Node computes is the same whatever browser the run is for. */
const onceOnly = { skip: KIND === 'firefox' && 'done with Chromium' };

/** The first thousand with every run, all ten thousand on wish. */
const drawn = JSON.parse(await readFile(new URL('tests/digests/drawn-plates.json', ROOT))).at(process.env.TRIALPLATE_DRAWN === 'all' ? -1 : 0);
/** Computed beside what the tests in between do. */
const digested = KIND === 'firefox' ? null : new Promise((resolve, reject) => {
  const at = new URL('../harness/plates-digest.mjs', import.meta.url);
  new Worker(at, { workerData: drawn.plates }).on('message', resolve).on('error', reject);
});
digested?.catch(() => {});

test('the list is whole', () => assert.equal(golden.length, 21));

test('plates made fair are the same in Node', onceOnly, async () => {
  const { initSync, PlateDesk } = await import(new URL('dist/wasm/page.js', ROOT));
  initSync({ module: await readFile(new URL('dist/wasm/page_bg.wasm', ROOT)) });
  const fair = JSON.parse(await readFile(new URL('tests/digests/fair-plates.json', ROOT)));
  assert.equal(fair.length, 7);
  for (const plate of fair) {
    const desk = PlateDesk.drawn(plate.joint, plate.level, String(plate.seed));
    const start = performance.now();
    const bench = desk.bench();
    // Told, not asserted: machines differ.
    console.log(`${plate.joint} of level ${plate.level}, made fair and on the bench: ${Math.round(performance.now() - start)} ms`);
    assert.equal(bench.log().match(/"paper_digest":"(\w+)"/)[1], plate.digest, `${plate.joint} ${plate.level} ${plate.seed}`);
    bench.free();
    desk.free();
  }
});

test('golden frames have the same bits in Node', onceOnly, async () => {
  const { initSync, Bench, computes_rightly } = await import(new URL('dist/wasm/page.js', ROOT));
  initSync({ module: await readFile(new URL('dist/wasm/page_bg.wasm', ROOT)) });
  assert.ok(computes_rightly());
  for (const frame of golden) assert.deepEqual(made(Bench, plates, frame), frame);
});

journey(`golden frames have the same bits in ${KIND}`, async ({ page }) => {
  await page.goto(address);
  const module = new URL('wasm/page.js', address).href;
  await page.evaluate(async (module) => {
    const { default: init, Bench, computes_rightly } = await import(module);
    await init({ module_or_path: new URL('page_bg.wasm', module) });
    Object.assign(globalThis, { Bench, computes_rightly });
  }, module);
  assert.ok(await page.evaluate(() => globalThis.computes_rightly()));
  for (const frame of golden) {
    const call = `(${made})(globalThis.Bench, ${JSON.stringify(plates)}, ${JSON.stringify(frame)})`;
    assert.deepEqual(await page.evaluate(call), frame);
  }
});

test(`${drawn.plates} drawn plates are the same to the last byte in Node`, onceOnly, async () => assert.equal(await digested, drawn.digest));
