// axe finds nothing wrong with what a page shows now, as it looks or in every look that people set their system to.
import assert from 'node:assert/strict';
import axe from 'axe-core';
import { KIND } from './browser.mjs';

const TAGS = { runOnly: { type: 'tag', values: ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa'] } };
/** What of them hangs on colours; the rest is the same in every look. */
const OF_COLOURS = { runOnly: { type: 'rule', values: ['color-contrast', 'link-in-text-block'] } };
/** A stock Firefox has the look of its profile and no other. */
const LOOKS = KIND === 'firefox' ? [['the look of the profile', null]] : [
  ['light', { colorScheme: 'light', forcedColors: 'none' }],
  ['dark', { colorScheme: 'dark', forcedColors: 'none' }],
  ['forced colours', { colorScheme: 'light', forcedColors: 'active' }],
];

const look = (page) => page.evaluate(() => ({
  colorScheme: matchMedia('(prefers-color-scheme: dark)').matches ? 'dark' : 'light',
  forcedColors: matchMedia('(forced-colors: active)').matches ? 'active' : 'none',
}));

async function found(page, place, looks) {
  await page.evaluate(axe.source);
  const found = [];
  for (const [i, [name, media]] of looks.entries()) {
    if (media) await page.emulateMedia(media);
    const { violations } = await page.evaluate((options) => globalThis.axe.run(document, options), i ? OF_COLOURS : TAGS);
    found.push(...violations.flatMap(({ id, help, nodes }) => nodes.map(({ html }) => `${place}, ${name}: ${id}: ${help}: ${html.slice(0, 160)}`)));
  }
  return found;
}

/** Asserts it in the look of the page; `place` tells where one is. */
export async function clean(page, place = 'the page') {
  const wrong = await found(page, place, [['as it looks', null]]);
  assert.deepEqual(wrong, [], wrong.join('\n'));
}

/** Asserts it in every look. */
export async function cleanInEveryLook(page, place = 'the page') {
  const before = await look(page);
  const wrong = await found(page, place, LOOKS);
  await page.emulateMedia(before);
  assert.deepEqual(wrong, [], wrong.join('\n'));
}

/** A picture in light and in dark. */
export async function pictures(page, picture, title) {
  const before = await look(page);
  for (const colorScheme of ['light', 'dark']) {
    await page.emulateMedia({ colorScheme });
    await picture(`${title}, ${colorScheme}`);
  }
  await page.emulateMedia(before);
}
