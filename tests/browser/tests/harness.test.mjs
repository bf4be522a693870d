// The harness itself: what it promises to notice, it notices.
import assert from 'node:assert/strict';
import { test } from 'node:test';
import { notInFirefox } from '../harness/browser.mjs';
import { cleanInEveryLook } from '../harness/clean.mjs';
import { address, visit } from '../harness/journey.mjs';

/** What the harness has to say about a page that runs `mischief`. */
async function complaintsAbout(mischief) {
  const { context, complaints, page } = await visit();
  await page.goto(`${address}scenarios/`).catch(() => {});
  complaints.length = 0;
  await page.evaluate(mischief).catch(() => {});
  await page.waitForTimeout(300);
  await context.close();
  return complaints;
}

test('a console error is noticed', async () => {
  const complaints = await complaintsAbout(() => console.error('a fault'));
  assert.ok(complaints.some((line) => line.startsWith('console error: a fault')), complaints.join('; '));
});

test('an error nobody catches is noticed', async () => {
  const complaints = await complaintsAbout(() => {
    setTimeout(() => {
      throw new Error('a fault');
    });
  });
  assert.ok(complaints.some((line) => line.startsWith('page error:') && line.includes('a fault')), complaints.join('; '));
});

test('an error in a worker is noticed', async () => {
  const complaints = await complaintsAbout(() => {
    const source = new Blob(['console.error("a fault in the worker")'], { type: 'text/javascript' });
    new Worker(URL.createObjectURL(source));
  });
  assert.ok(complaints.length > 0);
});

test('a request to another origin is noticed', async () => {
  const complaints = await complaintsAbout(() => {
    const image = new Image();
    image.src = 'http://127.0.0.1:6789/elsewhere.png';
    return fetch('http://127.0.0.1:6789/elsewhere').catch(() => {});
  });
  assert.ok(complaints.length > 0);
});

test('a missing file is noticed', async () => {
  const complaints = await complaintsAbout(() => fetch('/no-such-file'));
  assert.ok(complaints.some((line) => line.startsWith('404 for')), complaints.join('; '));
});

test('a colour too pale in one look alone is noticed, and the look of before comes back', { skip: notInFirefox('it has one look') }, async () => {
  for (const scheme of ['light', 'dark']) {
    const { context, page } = await visit({ colorScheme: 'dark' });
    await page.setContent(`<html lang="en"><title>Pale</title><style>
      p { background: white; color: black } @media (prefers-color-scheme: ${scheme}) { p { color: #aaa } }</style><main><p>too pale</p></main></html>`);
    await assert.rejects(cleanInEveryLook(page, 'here'), new RegExp(`^AssertionError.*: here, ${scheme}: color-contrast`));
    assert.ok(await page.evaluate(() => matchMedia('(prefers-color-scheme: dark)').matches));
    await context.close();
  }
});
