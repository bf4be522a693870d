// What `cargo xtask serve` sends along with the files.
import assert from 'node:assert/strict';
import { test } from 'node:test';
import { address } from '../harness/journey.mjs';

const TYPES = {
  '': 'text/html; charset=utf-8',
  'wasm/page_bg.wasm': 'application/wasm',
  'wasm/page.js': 'text/javascript; charset=utf-8',
};

for (const [file, type] of Object.entries(TYPES)) {
  test(`/${file} has its type, its policy and is not cached`, async () => {
    const response = await fetch(address + file);
    await response.arrayBuffer();
    assert.equal(response.status, 200);
    assert.equal(response.headers.get('content-type'), type);
    assert.equal(response.headers.get('cache-control'), 'no-cache');
    assert.equal(response.headers.get('x-content-type-options'), 'nosniff');
    const policy = response.headers.get('content-security-policy');
    assert.match(policy, /default-src 'none'/);
    assert.match(policy, /script-src 'self' 'wasm-unsafe-eval'/);
    assert.doesNotMatch(policy, /unsafe-inline|'unsafe-eval'/);
  });
}

test('nothing outside the folder is served', async () => {
  for (const path of ['%2e%2e/Cargo.toml', '..%2fCargo.toml', 'no-such-file']) {
    const response = await fetch(address + path);
    await response.arrayBuffer();
    assert.equal(response.status, 404, path);
  }
});
