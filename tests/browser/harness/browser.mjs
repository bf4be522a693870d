// The browser the journeys run in: Chromium or, with TRIALPLATE_BROWSER_KIND=firefox, a stock Firefox over WebDriver BiDi.
import { mkdtemp } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { chromium, firefox } from 'playwright-core';

const BROWSER = process.env.TRIALPLATE_BROWSER;
export const KIND = process.env.TRIALPLATE_BROWSER_KIND ?? 'chromium';
if (!BROWSER || !['chromium', 'firefox'].includes(KIND)) throw new Error('run these tests with: cargo xtask test browser');

const FLAGS = [
  '--no-sandbox',
  '--disable-gpu',
  '--disable-quic',
  '--no-first-run',
  '--disable-background-networking',
  '--disable-component-update',
  '--disable-sync',
];

/** What a test that needs more than Firefox's driver can do says instead of running: the reason, or false. */
export const notInFirefox = (reason) => KIND === 'firefox' && `not in Firefox: ${reason}`;

const running = new Map();

/** The browser for contexts with these options. */
export async function browserFor(options) {
  const prefs = KIND === 'firefox' ? likes(options) : {};
  const key = JSON.stringify(prefs);
  const before = running.get(key);
  // One that has crashed fails the test it was in, and no other.
  if (!before || !(await before).isConnected()) running.set(key, KIND === 'firefox' ? startFirefox(prefs) : startChromium());
  return running.get(key);
}

export async function closeAll() {
  for (const browser of running.values()) await (await browser).close();
  running.clear();
}

const startChromium = () => chromium.launch({ executablePath: BROWSER, headless: true, args: FLAGS });

async function startFirefox(firefoxUserPrefs) {
  // A home of its own: Firefox does not start in one that belongs to somebody else, as with root in a container.
  const env = { ...process.env, HOME: await mkdtemp(join(tmpdir(), 'trialplate-home-')) };
  const browser = await firefox.launch({ channel: 'moz-firefox', executablePath: BROWSER, headless: true, env, firefoxUserPrefs });
  // Firefox does not know this command yet: what people like is set in the profile instead, one browser for each.
  const session = Object.getPrototypeOf(browser._connection.toImpl(browser)._browserSession);
  const { send } = session;
  session.send = function without(method, params) {
    return method === 'emulation.setMediaFeaturesOverride' ? Promise.resolve({}) : send.call(this, method, params);
  };
  return browser;
}

/** Settings of a profile that answer the media queries as asked. */
function likes({ colorScheme = 'light', reducedMotion, forcedColors }) {
  return {
    'layout.css.prefers-color-scheme.content-override': colorScheme === 'dark' ? 0 : 1,
    'ui.prefersReducedMotion': reducedMotion === 'reduce' ? 1 : 0,
    'browser.display.document_color_use': forcedColors === 'active' ? 2 : 1,
  };
}
