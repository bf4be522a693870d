// What a person does and reads at the page. Things are found by role and name, as a screen reader finds them.
import { readFile } from 'node:fs/promises';
import { parse } from 'smol-toml';
import { address } from './journey.mjs';

const PLATES = new URL('../../../scenarios/plates/', import.meta.url);

/** The text of a plate file of Tern Harbour. */
export const plateText = (name) => readFile(new URL(`${name}.toml`, PLATES), 'utf8');
/** What is true about a plate of Tern Harbour. */
export const truth = async (name) => parse(await plateText(name)).plate;

/** Opens the start page. */
export async function openStart(page) {
  await page.goto(address);
  await page.getByRole('heading', { level: 1, name: 'Trialplate' }).waitFor();
}

/** Opens a plate of the start page by the words on its card and waits for its first picture. */
export async function choosePlate(page, words) {
  await openStart(page);
  await page.getByRole('button', { name: `Scan this plate: ${words}` }).click();
  await firstPicture(page);
}

/** Chooses a file on the start page. */
export const openFile = (page, file) => page.getByLabel('Choose a plate file').setInputFiles(file);

/** Waits for a picture of the sound: pixels that are not transparent. */
export async function firstPicture(page) {
  await page.getByRole('img', { name: /^Section .*with the sound picture/ }).waitFor();
  // The one thing here that has no role and no name: the picture itself is hidden from screen readers.
  await page.waitForFunction(() => {
    const canvas = [...document.querySelectorAll('canvas')].find((one) => one.width > 1 && one.checkVisibility());
    const pixels = canvas?.getContext('2d').getImageData(0, 0, canvas.width, canvas.height).data;
    return pixels?.some((value, i) => i % 4 === 3 && value > 0);
  });
}

/** Waits until the page shows what the last key or click led to. */
export function settled(page) {
  return page.evaluate(async () => {
    // Each answer comes after all that was asked before it: a question, the set-up it leads to, and its frame.
    for (let i = 0; i < 3; i++) await globalThis.trialplate.digest();
    for (let i = 0; i < 2; i++) await new Promise((resolve) => requestAnimationFrame(resolve));
  });
}

/** Presses keys one after the other, each after the page has followed. */
export async function press(page, ...keys) {
  for (const key of keys) {
    await page.keyboard.press(key);
    await settled(page);
  }
}

const figure = (words) => Number(words.replace('−', '-').match(/[+-]?\d+(\.\d+)?/)?.[0]);

/** What the readings say, or null when nothing is in the gate. */
export async function reading(page) {
  const list = page.getByRole('region', { name: 'Highest echo in the gate' });
  const [terms, values] = await Promise.all([
    list.getByRole('term').allInnerTexts(),
    list.getByRole('definition').allInnerTexts(),
  ]);
  const said = Object.fromEntries(terms.map((term, i) => [term, values[i]]));
  if (said.Depth === '–') return null;
  const amplitude = said['Peak amplitude'];
  return {
    clipped: amplitude.startsWith('at least'),
    percent: figure(amplitude),
    db: figure(amplitude.split('(')[1]),
    depth_mm: figure(said.Depth),
    offset_mm: figure(said['From weld centre'] ?? said['From its middle']),
  };
}

/** Where the probe stands along the weld, mm. */
export const placeAlong = async (page) =>
  Number(await page.getByRole('slider', { name: 'Probe, place along the weld' }).getAttribute('aria-valuenow'));

/** The echoes that the key N leads to here, highest first. */
export async function echoesHere(page, most) {
  const found = [];
  await press(page, 'e');
  for (let i = 0; i < most; i++) {
    const echo = await reading(page);
    if (!echo || found.some((one) => same(one, echo))) break;
    found.push(echo);
    await press(page, 'n');
  }
  return found;
}

/** True for two echoes from about the same place of the section. */
export const same = (a, b) => Math.abs(a.depth_mm - b.depth_mm) < 1.5 && Math.abs(a.offset_mm - b.offset_mm) < 2;
