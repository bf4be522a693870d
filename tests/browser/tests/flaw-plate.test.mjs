// Whatever the sliders of the flaw bench are pulled to, in whatever order, the simulation takes the plate.
import assert from 'node:assert/strict';
import { spawnSync } from 'node:child_process';
import { mkdtemp, readFile, rm, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { test } from 'node:test';

const ROOT = new URL('../../../', import.meta.url);
const { begin, kept, limits, plateText } = await import(new URL('www/page/flaw-plate.js', ROOT));
const { KINDS, beginning } = await import(new URL('www/page/flaw-kinds.js', ROOT));
const PULLS = 250;

/** Procedure and scheme of a plate of the yard, the probe far enough off for the widest cap of the flaw bench. */
const yard = await readFile(new URL('scenarios/plates/th-01.toml', ROOT), 'utf8');
const rest = yard.slice(yard.indexOf('[procedure]')).replace(/^index_offset_mm = .*$/m, 'index_offset_mm = [45.0, 70.0]');

/** Numbers from 0 to 1 that are the same in every run. */
function* numbers(seed) {
  for (let state = seed; ;) {
    state = (Math.imul(state, 1_664_525) + 1_013_904_223) >>> 0;
    yield state / 2 ** 32;
  }
}

/** What the flaw bench shows after each of many pulls at its sliders, one after the other, ends oftener than places between. */
function* pulled(kind, seed) {
  const stream = numbers(seed);
  const next = () => stream.next().value;
  let now = kept({ ...begin(), ...beginning(kind, 20) });
  for (let i = 0; i < PULLS; i += 1) {
    const names = Object.keys(limits(now)).filter((name) => name !== 'bevel_deg' || KINDS[kind][0] === 'bevel');
    const name = names[Math.floor(next() * names.length)];
    const [low, high, step] = limits(now)[name];
    const end = next();
    const value = end < 0.35 ? low : end < 0.7 ? Math.max(low, high) : low + Math.round((next() * Math.max(0, high - low)) / step) * step;
    now = kept({ ...now, [name]: value, side: next() < 0.5 ? 'A' : 'B' });
    yield now;
  }
}

test('whatever the sliders are pulled to, the plate stays one', async () => {
  const folder = await mkdtemp(join(tmpdir(), 'trialplate-flaws-'));
  try {
    const files = [];
    for (const [i, kind] of Object.keys(KINDS).entries()) {
      let pull = 0;
      for (const now of pulled(kind, i + 1)) {
        const file = join(folder, `${kind}-${pull += 1}.toml`);
        await writeFile(file, `${plateText(now)}\n${rest}`);
        files.push(file);
      }
    }
    const { stdout, stderr } = spawnSync(process.env.TRIALPLATE_COMMAND, ['plate', 'check', '--form', ...files], { encoding: 'utf8', maxBuffer: 2 ** 28 });
    const lines = `${stdout}${stderr}`.split('\n');
    assert.deepEqual(lines.filter((line) => /\.toml:\d/.test(line)), []);
    assert.equal(lines.filter((line) => line.includes('.toml: sound.')).length, files.length);
  } finally {
    await rm(folder, { recursive: true });
  }
});
