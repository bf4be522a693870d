// One journey is one test: a fresh browser profile, a page, and no complaint at the end.
import assert from 'node:assert/strict';
import { mkdir } from 'node:fs/promises';
import { after, test } from 'node:test';
import { fileURLToPath } from 'node:url';
import { browserFor, closeAll, KIND } from './browser.mjs';
import { listenInFirefox } from './firefox.mjs';
import { watch } from './watch.mjs';

const ADDRESS = process.env.TRIALPLATE_ADDRESS;
if (!ADDRESS) throw new Error('run these tests with: cargo xtask test browser');

/** Where the page is served, with a slash at the end. */
export const address = ADDRESS;

/** How long anything may take to appear; on a busy machine give more. */
const PATIENCE_MS = Number(process.env.TRIALPLATE_PATIENCE_MS ?? (KIND === 'firefox' ? 45_000 : 15_000));
const OUT = new URL('../out/', import.meta.url);
after(closeAll);

/** A context with its complaints; close it yourself. `home` is where its pages may talk to. */
export async function visit(options = {}, home = ADDRESS) {
  const browser = await browserFor(options);
  const context = await browser.newContext({ viewport: { width: 1366, height: 850 }, serviceWorkers: 'block', ...options });
  context.setDefaultTimeout(PATIENCE_MS);
  // Holding up requests would keep a service worker of Firefox from answering them.
  const hold = KIND !== 'firefox' || options.serviceWorkers !== 'allow';
  const complaints = await watch(context, new URL(home).origin, { hold, forgiven: KIND === 'firefox' ? await listenInFirefox(context) : undefined });
  return { context, complaints, page: await context.newPage() };
}

const unfilled = (page) => page.evaluate(() => document.body.textContent.match(/\{\w+(:\S{0,3})?\}|\[object \w+\]/g) ?? []);

/** Closes a context. A stock Firefox goes down now and then when its pages are taken from it; what was walked is over by then. */
async function close(context) {
  try {
    await context.close();
  } catch (error) {
    if (KIND !== 'firefox' || context.browser()?.isConnected()) throw error;
  }
}

/** Registers a test; `walk({ page, context, picture })` does what a person would do. */
export function journey(name, walk, options = {}) {
  const { skip = false, timeout = KIND === 'firefox' ? 400_000 : 120_000, ...setting } = options;
  test(name, { timeout, skip }, async () => {
    const { context, complaints, page } = await visit(setting);
    const picture = async (title) => {
      await mkdir(OUT, { recursive: true });
      await page.screenshot({ path: fileURLToPath(new URL(`${encodeURIComponent(title.replaceAll(/\W+/g, '-'))}.png`, OUT)) });
    };
    try {
      await walk({ page, context, picture });
      if (!page.isClosed()) assert.deepEqual(await unfilled(page), [], 'a text shows the name or the kind of a value in place of the value');
    } catch (error) {
      await picture(`failed ${name}`).catch(() => {});
      if (complaints.length) error.message += `\n  and the page complained:\n  ${complaints.join('\n  ')}`;
      throw error;
    } finally {
      await close(context);
    }
    assert.deepEqual(complaints, [], 'the page complained');
  });
}
