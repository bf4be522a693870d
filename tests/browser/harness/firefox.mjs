// What a stock Firefox does not tell its driver yet, told by the page itself.
import { createHash } from 'node:crypto';
import { copyFile, mkdtemp, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';

/** The driver's own empty style, put in for each picture: the page's policy refuses it. */
const OWN_STYLE = createHash('sha256').update('body {}').digest('base64');

/** Makes pages of a context tell of files they give to be saved, and of failures they have taken care of, which Firefox reports all
 * the same; resolves with a function that tells whether an error is none of the page's. */
export async function listenInFirefox(context) {
  const settled = [];
  await context.exposeBinding('testsSave', async ({ page }, name, base64) => {
    const path = join(await mkdtemp(join(tmpdir(), 'trialplate-')), name);
    await writeFile(path, Buffer.from(base64, 'base64'));
    page.emit('download', { path: async () => path, saveAs: (to) => copyFile(path, to), suggestedFilename: () => name });
  });
  await context.exposeBinding('testsSettled', (_, words) => settled.push(words));
  await context.addInitScript(tell);
  return async (words) => {
    if (words.includes(OWN_STYLE)) return true;
    // The page's own word comes after the browser's.
    for (let i = 0; i < 20 && !settled.some((one) => words.includes(one)); i++) await new Promise((resolve) => setTimeout(resolve, 50));
    return settled.some((one) => words.includes(one));
  };
}

/** Runs in the page, before its own scripts. */
function tell() {
  // Firefox goes down when it is asked for the elements behind an aria-labelledby; without the property they are found by the attribute.
  delete Element.prototype.ariaLabelledByElements;
  const blobs = new Map();
  const { createObjectURL } = URL;
  URL.createObjectURL = (blob) => {
    const url = createObjectURL.call(URL, blob);
    blobs.set(url, blob);
    return url;
  };
  const click = HTMLElement.prototype.click;
  HTMLAnchorElement.prototype.click = function save() {
    const blob = this.download && blobs.get(this.href);
    if (!blob) return click.call(this);
    const reader = new FileReader();
    reader.onload = () => globalThis.testsSave(this.download, reader.result.split(',')[1] ?? '');
    reader.readAsDataURL(blob);
  };
  // What the driver fills in is not typed, so leaving the field, or Enter in it, tells of no change.
  const filled = new WeakSet();
  addEventListener('input', ({ target, isTrusted }) => { if (!isTrusted) filled.add(target); }, true);
  addEventListener('change', ({ target }) => filled.delete(target), true);
  const left = ({ target }) => {
    if (filled.has(target)) target.dispatchEvent(new Event('change', { bubbles: true }));
  };
  addEventListener('blur', left, true);
  addEventListener('keydown', (event) => { if (event.key === 'Enter' && event.target.tagName === 'INPUT') left(event); }, true);
  // After the page's own listeners: whether one of them took care of it.
  addEventListener('unhandledrejection', (event) => setTimeout(() => {
    if (event.defaultPrevented) globalThis.testsSettled(String(event.reason?.message ?? event.reason));
  }));
}
