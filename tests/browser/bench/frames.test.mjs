// What a frame costs in the page, from the worker's own clock, while the probe is moved by keyboard.
import { readFile, stat, writeFile } from 'node:fs/promises';
import os from 'node:os';
import { gzipSync } from 'node:zlib';
import { address, journey } from '../harness/journey.mjs';
import { openFile, firstPicture } from '../harness/person.mjs';
import { slowFigures } from './slow.mjs';

/** The first frames run in code that the browser has not yet optimised. */
const WARM_UP = 60;
const FRAMES = 600;
const PLATE = new URL('twelve-flaws.toml', import.meta.url);
const WASM = new URL('../../../dist/wasm/page_bg.wasm', import.meta.url);

const sorted = (values) => [...values].sort((a, b) => a - b);
const at = (values, share) => sorted(values)[Math.min(values.length - 1, Math.floor(share * values.length))];
const ms = (value) => `${value.toFixed(1)} ms`;

journey('frames are timed', async ({ page, context }) => {
  const start = performance.now();
  await page.goto(`${address}#bench?plate=th-07`);
  await firstPicture(page);
  const first = performance.now() - start;
  await page.goto(`${address}#start`);
  await openFile(page, PLATE.pathname);
  await firstPicture(page);
  const times = await page.evaluate(async (count) => {
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
      found.push({ ...last, answer: performance.now() - pressed });
    }
    return found;
  }, WARM_UP + FRAMES);
  const warm = times.slice(WARM_UP);
  const row = (name, key) => {
    const values = warm.map((time) => time[key]);
    return `| ${name} | ${ms(at(values, 0.5))} | ${ms(at(values, 0.95))} | ${ms(Math.max(...values))} |`;
  };
  const wasm = await readFile(WASM);
  const report = `# Speed, as measured

Made by \`cargo xtask bench\` on ${new Date().toISOString().slice(0, 10)}.

Machine: ${os.cpus()[0].model.trim()}, ${os.cpus().length} cores, ${os.type()}, Chromium ${context.browser().version()}, headless.
Other work on the machine meanwhile: load average ${os.loadavg()[0].toFixed(1)}, of which this bench makes about 1.
Plate: twelve flaws (tests/browser/bench/twelve-flaws.toml), the probe moved a millimetre a frame, ${FRAMES} frames
after ${WARM_UP} that are not counted.

| | median | 95 % are within | longest |
|---|---|---|---|
${row('echoes of a frame', 'scan')}
${row('painting and copying', 'paint')}
${row('whole frame in the worker', 'whole')}
${row('key to frame at hand in the page', 'answer')}

First picture after opening the page on the same machine: ${ms(first)}.
page_bg.wasm: ${(await stat(WASM)).size} bytes, ${gzipSync(wasm, { level: 9 }).length} gzipped.
${await slowFigures()}`;
  console.log(report);
  if (process.env.TRIALPLATE_REPORT) await writeFile(process.env.TRIALPLATE_REPORT, report);
}, {});
