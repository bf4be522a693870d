// An editor that goes by the schema of plate files finds nothing in those of the yard, and does find what is broken in form.
import assert from 'node:assert/strict';
import { readFile, readdir } from 'node:fs/promises';
import { test } from 'node:test';
import Ajv from 'ajv/dist/2020.js';
import { parse } from 'smol-toml';

const ROOT = new URL('../../../', import.meta.url);
const file = (path) => readFile(new URL(path, ROOT), 'utf8');
// The formats (double, uint32) only tell a program how wide a number is.
const ajv = new Ajv({ allErrors: true, validateFormats: false });
ajv.addSchema(JSON.parse(await file('docs/plate-file.schema.json')), 'plate-file');
const validate = ajv.getSchema('plate-file');

/** What the schema finds in a plate file. */
async function found(path) {
  const fits = validate(parse(await file(path)));
  return fits ? [] : validate.errors.map(({ instancePath, message }) => `${path}${instancePath} ${message}`);
}

test('the schema takes every file of the yard', async () => {
  let files = 0;
  for (const folder of ['scenarios/plates/', 'scenarios/blocks/']) {
    for (const name of await readdir(new URL(folder, ROOT))) {
      assert.deepEqual(await found(folder + name), []);
      files += 1;
    }
  }
  assert.ok(files >= 15, `${files} files`);
});

test('probes of the store are of the form they have in a plate file', async () => {
  const fits = ajv.compile({ $ref: 'plate-file#/$defs/Probe' });
  let probes = 0;
  for (const name of await readdir(new URL('scenarios/probes/', ROOT))) {
    for (const { wedge, probe } of parse(await file(`scenarios/probes/${name}`)).choice) {
      assert.ok(fits(probe), `${name}, ${wedge}: ${JSON.stringify(fits.errors)}`);
      assert.ok(!fits({ ...probe, pitch_in: 0.02 }) && !fits({ ...probe, elements: '64' }), `${name}, ${wedge}: takes anything`);
      probes += 1;
    }
  }
  assert.ok(probes >= 8, `${probes} probes`);
});

test('the schema refuses what is broken in form', async () => {
  for (const name of ['misspelt-key', 'misspelt-kind', 'inch-key', 'no-plate', 'quoted-number', 'other-kind', 'scheme-key']) {
    assert.notDeepEqual(await found(`crate/desk/tests/broken/${name}.toml`), [], name);
  }
});
