// What a frame and a change of the set-up cost in the page, while the probe is moved by keyboard.
import { execFileSync } from 'node:child_process';
import { mkdtemp, readFile, stat, writeFile } from 'node:fs/promises';
import os from 'node:os';
import path from 'node:path';
import { gzipSync } from 'node:zlib';
import { address, journey } from '../harness/journey.mjs';
import { openFile, firstPicture } from '../harness/person.mjs';
import { slowFigures } from './slow.mjs';

/** The first frames run in code that the browser has not yet optimised. */
const WARM_UP = 100;
/** A page that was just opened still keeps its files for use without a network. */
const QUIET_MS = 3000;
const FRAMES = 600;
/** How often frames alone are made in the browser and natively. */
const TURNS = 5;
const CHANGES = 9;
const PLATE = new URL('twelve-flaws.toml', import.meta.url);
const WASM = new URL('../../../dist/wasm/page_bg.wasm', import.meta.url);

/**
 * Flaws of the plate, active elements and groove angle: a narrow weld with the 4,600 points that are spoken of, a wide one, all
 * its flaws, and short and long apertures.
 */
const BENCHES = [
  { flaws: 7, elements: 32, groove_deg: 40 },
  { flaws: 7, elements: 32, groove_deg: 60 },
  { flaws: 12, elements: 32, groove_deg: 60 },
  { flaws: 7, elements: 16, groove_deg: 60 },
  { flaws: 7, elements: 64, groove_deg: 60 },
];

const sorted = (values) => [...values].sort((a, b) => a - b);
const at = (values, share) => sorted(values)[Math.min(values.length - 1, Math.floor(share * values.length))];
const ms = (value) => `${value.toFixed(1)} ms`;

/** The plate with the first of its flaws and another aperture; 64 elements need a longer wedge, and that a wider plate. */
async function plateFile({ flaws, elements, groove_deg }) {
  const source = await readFile(PLATE, 'utf8');
  const [head, ...rest] = source.split('[[plate.flaw]]');
  const tail = rest.at(-1).slice(rest.at(-1).indexOf('\n[procedure'));
  const kept = rest.slice(0, flaws).map((one) => `[[plate.flaw]]${one.split('\n[procedure')[0]}`).join('');
  const long = elements > 48;
  const text = `${head}${kept}${tail}`
    .replace(/^groove_angle_deg = .*$/m, `groove_angle_deg = ${groove_deg}.0`)
    .replace(/^first_element = .*$/m, `first_element = ${1 + (64 - elements) / 2}`)
    .replace(/^active_elements = .*$/m, `active_elements = ${elements}`)
    .replace(/^width_mm = .*$/m, `width_mm = ${long ? 340 : 250}.0`)
    .replace(/^wedge_length_mm = .*$/m, `wedge_length_mm = ${long ? 90 : 48}.0`)
    .replace(/^first_element_to_front_mm = .*$/m, `first_element_to_front_mm = ${long ? 80 : 40}.0`);
  const file = path.join(await mkdtemp(path.join(os.tmpdir(), 'trialplate-bench-')), 'plate.toml');
  await writeFile(file, text);
  return file;
}

/** Frames of a plate while the probe goes to and fro, a millimetre a frame. */
const scanned = (page) => page.evaluate(async (count) => {
  const found = [];
  let last = globalThis.trialplate.times();
  for (let i = 0; i < count; i++) {
    const key = i % 400 < 200 ? 'ArrowRight' : 'ArrowLeft';
    const pressed = performance.now();
    document.body.dispatchEvent(new KeyboardEvent('keydown', { key, bubbles: true }));
    const limit = pressed + 5000;
    while (globalThis.trialplate.times() === last) {
      if (performance.now() > limit) throw new Error('no frame within 5 s');
      await new Promise((resolve) => setTimeout(resolve));
    }
    last = globalThis.trialplate.times();
    found.push({ ...last, points: globalThis.trialplate.points(), answer: performance.now() - pressed });
  }
  return found;
}, WARM_UP + FRAMES);

/** Frames one after the other in an otherwise idle page: echoes, painting and trace, ms together, and the last one's digest. Runs in the browser. */
async function alone({ module, text, count }) {
  const { default: init, Bench } = await import(module);
  await init({ module_or_path: new URL('page_bg.wasm', module) });
  const bench = Bench.from_paper('bench', new TextEncoder().encode(text));
  const [near, far] = JSON.parse(bench.about()).procedure.index_offset_mm;
  const found = [];
  for (let i = 0; i < count; i++) {
    const start = performance.now();
    bench.set_pose(i, 'A', (near + far) / 2, 20 + (i % 400 < 200 ? i % 400 : 400 - (i % 400)), 0);
    bench.frame();
    bench.paint('folded', undefined);
    bench.take_trace();
    found.push(performance.now() - start);
  }
  const digest = bench.digest();
  bench.free();
  return { found, digest };
}

/** From a new angle typed into the set-up to the first frame by it, ms; of a sector, or of the yard's linear scan. */
async function changed(page, { linear = false } = {}) {
  await page.getByRole('tab', { name: 'Set-up' }).click();
  const says = (words) => page.getByRole('status').filter({ hasText: words }).waitFor();
  await says('As the procedure says.');
  if (linear) {
    await page.getByRole('combobox', { name: 'Kind of scan' }).selectOption('linear');
    await says('The new set-up is in use');
  }
  const field = page.getByRole('spinbutton', { name: linear ? 'Angle of all beams' : 'Largest angle', exact: true });
  await field.waitFor();
  const [one, other] = linear ? ['56', '55'] : ['69.5', '70'];
  const times = [];
  for (let i = 0; i < CHANGES; i++) {
    times.push(await field.evaluate(async (input, value) => {
      const last = globalThis.trialplate.times();
      const start = performance.now();
      input.value = value;
      input.dispatchEvent(new Event('input', { bubbles: true }));
      input.dispatchEvent(new Event('change', { bubbles: true }));
      while (globalThis.trialplate.times() === last) {
        if (performance.now() > start + 20_000) throw new Error('no frame within 20 s');
        await new Promise((resolve) => setTimeout(resolve));
      }
      return performance.now() - start;
    }, i % 2 ? other : one));
    await page.waitForTimeout(400);
  }
  return times;
}

async function measured(page, bench) {
  await page.goto(`${address}#start`);
  const file = await plateFile(bench);
  await page.waitForTimeout(QUIET_MS);
  const count = WARM_UP + FRAMES;
  const job = { module: new URL('wasm/page.js', address).href, text: await readFile(file, 'utf8'), count };
  const pairs = [];
  // By turns, for a machine that others share is not as fast now as it was.
  for (let turn = 0; turn < TURNS; turn++) {
    const [native, same] = execFileSync(process.env.TRIALPLATE_TIMED_FRAMES, [file, count, WARM_UP], { encoding: 'utf8' }).split(/\s/);
    const { found, digest } = await page.evaluate(alone, job);
    if (digest !== same) throw new Error('the native frame is another one');
    pairs.push({ native: Number(native), here: at(found.slice(WARM_UP), 0.5) });
  }
  await openFile(page, file);
  await firstPicture(page);
  const warm = (await scanned(page)).slice(WARM_UP);
  return { ...bench, warm, alone: at(pairs.map((pair) => pair.here), 0.5), ratio: at(pairs.map((pair) => pair.here / pair.native), 0.5), points: at(warm.map((frame) => frame.points), 0.5), changes: await changed(page) };
}

journey('frames are timed', async ({ page, context }) => {
  const start = performance.now();
  await page.goto(`${address}#bench?plate=th-07`);
  await firstPicture(page);
  const first = performance.now() - start;
  const benches = [];
  for (const bench of BENCHES) benches.push(await measured(page, bench));
  await openFile(page, await plateFile(BENCHES[0]));
  await firstPicture(page);
  const linear = at(await changed(page, { linear: true }), 0.5);
  const part = (bench, key, share) => ms(at(bench.warm.map((frame) => frame[key]), share));
  const row = (bench) => `| ${bench.elements} | ${bench.groove_deg}° | ${bench.flaws} | ${bench.points} | ${ms(bench.alone)} | ${bench.ratio.toFixed(2)} | ${part(bench, 'scan', 0.5)} | ${part(bench, 'paint', 0.5)} | \
${part(bench, 'whole', 0.5)} | ${part(bench, 'whole', 0.95)} | ${part(bench, 'answer', 0.5)} | ${at(bench.changes, 0.5).toFixed(0)} ms |`;
  const wasm = await readFile(WASM);
  const report = `# Speed, as measured

Made by \`cargo xtask bench\` on ${new Date().toISOString().slice(0, 10)}.

Machine: ${os.cpus()[0].model.trim()}, ${os.cpus().length} cores, ${os.type()}, Chromium ${context.browser().version()}, headless.
Other work on the machine meanwhile: load average ${os.loadavg()[0].toFixed(1)}, of which this bench makes about 1.
Plate: tests/browser/bench/twelve-flaws.toml with its first flaws, 61 beams, three legs and all their pairs, grain; the probe moved a
millimetre a frame, ${FRAMES} frames after ${WARM_UP} that are not counted. All times are medians, and so are points, those in view of
the probe. A frame alone: one follows the other, and nothing is drawn, as often natively (profile \`native\`), by turns; the ratio is browser to
native. All else is measured while the page draws each frame on the same cores. A new set-up is one with another largest angle, from the
field to the first frame by it; median of ${CHANGES}.

| elements | groove | flaws | points | a whole frame alone | to native | echoes of a frame | painting, copying | whole frame in the worker | 95 % are within | key to frame in the page | new set-up |
|---|---|---|---|---|---|---|---|---|---|---|---|
${benches.map(row).join('\n')}

A new set-up of a linear scan, 16 elements two elements on from beam to beam: ${linear.toFixed(0)} ms.
First picture after opening the page on the same machine: ${ms(first)}.
page_bg.wasm: ${(await stat(WASM)).size} bytes, ${gzipSync(wasm, { level: 9 }).length} gzipped.
${await slowFigures()}`;
  console.log(report);
  if (process.env.TRIALPLATE_REPORT) await writeFile(process.env.TRIALPLATE_REPORT, report);
}, { timeout: 600_000 });
