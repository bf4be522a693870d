// What the README shows: scenes of the running page, and the pictures taken of them.
import { writeFile } from 'node:fs/promises';
import { choosePlate, openStart, press, settled } from '../harness/person.mjs';

/** A README picture is at most this large, bytes. */
export const MOST_BYTES = 80_000;

const QUALITY = 66;
const BENCH = 'TH-07 · 20 mm, single V';

/** Each scene: the picture's name, the size of the window, and how a person gets there. */
export const SCENES = [
  { name: 'bench', width: 1280, height: 800, walk: onAnEcho },
  { name: 'recorded-scan', width: 1280, height: 800, walk: recorded },
  { name: 'debrief', width: 1280, height: 800, walk: marked },
  { name: 'flaw-bench', width: 1280, height: 800, walk: oneFlaw },
  { name: 'phone', width: 360, height: 740, walk: onAnEcho },
];

async function onAnEcho(page) {
  await choosePlate(page, BENCH);
  await press(page, ...Array(11).fill('Shift+ArrowRight'), 'e');
}

async function recorded(page) {
  await choosePlate(page, BENCH);
  await page.getByRole('tab', { name: 'Recording' }).click();
  await page.getByRole('button', { name: 'Record along the weld' }).click();
  await page.getByText(/^\d+ lines recorded in/).waitFor({ timeout: 60_000 });
  await page.getByText(/Heard in pass/).waitFor();
  await settled(page);
}

async function marked(page) {
  await recorded(page);
  await page.getByRole('button', { name: 'Call this place' }).click();
  await page.getByRole('group', { name: 'Call 1', exact: true }).waitFor();
  await page.getByRole('button', { name: 'Hand in', exact: true }).click();
  await page.getByRole('button', { name: 'Hand in now' }).click();
  await page.getByRole('heading', { level: 1, name: /^Debrief/ }).waitFor();
}

async function oneFlaw(page) {
  await openStart(page);
  await page.getByRole('button', { name: 'Open the flaw bench' }).click();
  await page.getByText(/lower than the other side|equally high/).waitFor();
}

/** Takes a picture of the window as WebP; resolves with its bytes. */
export async function take(page, file) {
  const devtools = await page.context().newCDPSession(page);
  // Long enough for the last notice to fade and the last frame to be drawn.
  await page.waitForTimeout(600);
  const { data } = await devtools.send('Page.captureScreenshot', { format: 'webp', quality: QUALITY });
  const bytes = Buffer.from(data, 'base64');
  await writeFile(file, bytes);
  return bytes;
}
