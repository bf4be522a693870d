// Somebody who has a keyboard and nothing else: goes from thing to thing by Tab, and after every key there is one that has the focus.
import assert from 'node:assert/strict';

/** What has the focus: its name, and whether a person sees it and where the keys go. */
export const focused = (page) => page.evaluate(() => {
  const element = document.activeElement;
  const box = element.getBoundingClientRect();
  const name = element.getAttribute('aria-label') ?? ([...(element.labels ?? [])].map((label) => label.textContent).join(' ') || element.textContent);
  // A field for files is seen by its label; the head of a place is read, not seen.
  const shown = element.type === 'file' ? element.labels[0].getBoundingClientRect() : box;
  const [x, y] = [shown.left + Math.min(shown.width, innerWidth) / 2, shown.top + shown.height / 2];
  const above = document.elementFromPoint(x, y);
  const free = above && (element.contains(above) || above.contains(element) || element.labels?.[0]?.contains(above));
  return { name: name.trim().replaceAll(/\s+/g, ' ').slice(0, 90), tag: element.tagName.toLowerCase(), value: element.value ?? null,
    here: element !== document.body && !element.matches(':disabled') && (element.tagName === 'H1' || Boolean(free)) };
});

/** The same, which has to be one that a person sees. */
export async function kept(page, after) {
  await page.waitForFunction(() => document.activeElement !== document.body, null, { timeout: 2000 }).catch(() => {});
  const now = await focused(page);
  assert.ok(now.here && now.name, `${after}: the focus is on ${JSON.stringify(now)}`);
  return now;
}

/** Goes on by Tab to a thing with this name; each on the way is seen, too. */
export async function tabTo(page, name, { most = 80, key = 'Tab' } = {}) {
  const passed = [];
  for (let i = 0; i < most; i++) {
    await page.keyboard.press(key);
    const now = await focused(page);
    // Between the last thing of the page and the first one stands the browser's own.
    if (now.tag === 'body') continue;
    assert.ok(now.here && now.name, `on the way to ${name}: ${JSON.stringify(now)} after ${passed.at(-1)}`);
    if (name instanceof RegExp ? name.test(now.name) : now.name === name) return now;
    passed.push(now.name);
  }
  throw new Error(`${name} is not reached by ${key}; passed: ${passed.join(' | ')}`);
}
