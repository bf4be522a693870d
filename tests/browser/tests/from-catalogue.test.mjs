// Every text comes from a catalogue: none stands in the code or the markup, and none is seen that went another way.
import assert from 'node:assert/strict';
import { readdir, readFile } from 'node:fs/promises';
import { test } from 'node:test';
import { asWritten } from '../harness/as-written.mjs';
import { readLiterals, readMarkup } from '../harness/literals.mjs';
import { address, journey } from '../harness/journey.mjs';
import { press } from '../harness/person.mjs';

const WWW = new URL('../../../www/', import.meta.url);
const CATALOGUE = /(?:texts|refusals)[-\w]*\.\w+\.js$/;

/** Literals that look like words and are none, or are not the page's to translate: file, literal, why. */
const EXCUSED = [
  ['page/dialog.js', 'Escape', 'the name of a key, to compare'],
  ['page/fields.js', 'Enter', 'the name of a key, to compare'],
  ['page/seal.js', 'Enter', 'the name of a key, to compare'],
  ['page/keys.js', 'Escape', 'the name of a key, to compare'],
  ['page/make-marks.js', 'Delete', 'the name of a key, to compare'],
  ['page/keys.js', 'Shift', 'printed on the key'],
  ['page/keys.js', 'Alt', 'printed on the key'],
  ['page/keys.js', 'Esc', 'printed on the key'],
  ['page/language.js', 'English', 'a language in its own words'],
  ['page/language.js', 'Español', 'a language in its own words'],
  ['page/link.js', 'Refused', 'the name of an error, to compare'],
  ['page/start.js', 'Files', 'a kind of drag, to compare'],
  ['page/make-fields.js', 'plate.', 'the place of a field in the file'],
  ['page/set-up.js', 'sector.', 'the place of a field in the file'],
  ['page/told.js', 'kind.', 'the beginning of a key'],
  ['page/told.js', 'title.', 'the beginning of a key'],
  ['worker/worker.js', 'another plate is being opened', 'why the worker passed a question over, never shown'],
  ['page/text.js', 'Not in the catalogue "0", shown in English: 0', "on a developer's machine alone"],
  ['page/flaw-plate.js', 'version = 2', 'a plate file, read by the simulation alone'],
];
/** Texts in index.html that no catalogue fills: they stand before any is read. */
const BEFORE = ['Trialplate', 'A training bench for phased-array ultrasonic testing of welds: scan a plate in your browser, call its flaws, and see your mark and why.',
  'Trialplate needs JavaScript and WebAssembly. Please switch them on for this page.'];
/** Pages of their own, one in each language; model-page.test.mjs holds them together. */
const OWN_PAGES = ['model.es.html', 'model.html'];
/** What may be seen that is of no catalogue, as a selector: the name, keys, and what files and the simulation say. */
const OF_OTHERS = [
  ['.top .name', 'the name'],
  ['.plate-name', 'the title of a plate file'],
  ['kbd', 'printed on the key'],
  ['.lessons, .lessons-place .quick, .lesson', 'a lesson file, which has its own languages'],
];

const modules = (await readdir(WWW, { recursive: true })).filter((file) => file.endsWith('.js') && !CATALOGUE.test(file));

test('no text stands in the code', async () => {
  const [found, used] = [[], new Set()];
  for (const file of modules) {
    for (const { line, words, why } of readLiterals(await readFile(new URL(file, WWW), 'utf8'))) {
      const excuse = EXCUSED.find(([where, start]) => where === file && (words === start || (start.length > 8 && words.startsWith(start))));
      if (excuse) used.add(excuse);
      else found.push(`${file}:${line}: "${words.slice(0, 60)}" (${why})`);
    }
  }
  assert.ok(modules.length > 100, `${modules.length} modules`);
  assert.deepEqual(found, []);
  assert.deepEqual(EXCUSED.filter((one) => !used.has(one)), [], 'an exception that nothing needs');
});

test('a text in the code is found', () => {
  for (const code of ["html('p', {}, 'Close')", "html('p', {}, ok ? text('a') : 'closed')", "say(element, `${n} echoes`)", "button.title = 'close'",
    "set(e, { 'aria-label': 'close' })", "e.setAttribute('aria-label', 'close')", "const WORDS = ['Put the gate on it'];", "const WORD = 'Close';"]) {
    assert.equal(readLiterals(code).length, 1, code);
  }
  for (const code of ["html('p', { class: 'card wide' }, text('a.b'))", "say(e, text('a', { side: 'A' }))", "say(e, n > 0 ? '+' : '−')",
    "document.querySelector('dialog.help')", "html('a', { href: '#start' }, name)"]) {
    assert.deepEqual(readLiterals(code), [], code);
  }
});

test('the markup says what the catalogue says', async () => {
  const { TEXTS } = await import(new URL('page/texts.en.js', WWW));
  for (const { key, words } of readMarkup(await readFile(new URL('index.html', WWW), 'utf8'))) {
    if (key) assert.equal(words, TEXTS[key], key);
    else assert.ok(BEFORE.includes(words), `index.html: "${words}"`);
  }
  const pages = (await readdir(WWW)).filter((file) => file.endsWith('.html') && file !== 'index.html');
  assert.deepEqual(pages.sort(), OWN_PAGES);
});

test('no style sheet says a word', async () => {
  for (const file of (await readdir(WWW, { recursive: true })).filter((one) => one.endsWith('.css'))) {
    assert.deepEqual((await readFile(new URL(file, WWW), 'utf8')).match(/content:\s*["'][^"']*\p{L}[^"']*["']/gu) ?? [], [], file);
  }
});

/** The catalogue's letters made wide: whatever is seen in plain ones went another way. */
const WIDE = `
const wide = (words) => words.split(/(\\{[^}]*\\})/).map((part, i) => (i % 2 ? part
  : part.replace(/[A-Za-z]/g, (letter) => String.fromCharCode(letter.charCodeAt(0) + 0xfee0)))).join('');
export const TEXTS = Object.freeze(Object.fromEntries(Object.entries(PLAIN).map(([key, entry]) => [key, typeof entry === 'string' ? wide(entry)
  : Object.fromEntries(Object.entries(entry).map(([form, words]) => [form, wide(words)]))])));`;

/** Words seen or read aloud that are of no catalogue and nobody else's. */
const strangers = (page) => page.evaluate((others) => {
  const found = [];
  const look = (element, words) => {
    if (/[A-Za-z]{2}/.test(words ?? '') && element.checkVisibility() && !element.closest(others)) found.push(`${element.tagName.toLowerCase()}: ${words}`);
  };
  const walker = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
  while (walker.nextNode()) look(walker.currentNode.parentElement, walker.currentNode.data);
  for (const name of ['alt', 'aria-label', 'aria-valuetext', 'placeholder', 'title']) {
    for (const element of document.querySelectorAll(`[${name}]`)) look(element, element.getAttribute(name));
  }
  return found;
}, OF_OTHERS.map(([selector]) => selector).join(', '));

journey('no text is seen that is of no catalogue', async ({ page }) => {
  await asWritten(page);
  const english = await readFile(new URL('page/texts.en.js', WWW), 'utf8');
  const body = english.replace(/export const TEXTS\s*=/, 'const PLAIN =') + WIDE;
  await page.route('**/page/texts.en.js', (route) => route.fulfill({ contentType: 'text/javascript', body }));
  const clean = async (place) => assert.deepEqual(await strangers(page), [], place);
  const wide = (words) => words.replace(/[A-Za-z]/g, (letter) => String.fromCharCode(letter.charCodeAt(0) + 0xfee0));
  await page.goto(address);
  await page.getByRole('button', { name: wide('Begin with the first plate') }).waitFor();
  await clean('start');
  await page.goto(`${address}#bench?plate=th-07`);
  await page.getByRole('img', { name: new RegExp(wide('sound picture')) }).waitFor();
  await press(page, 'e', 'c');
  await clean('a call on the sheet');
  await press(page, 'Escape');
  const tabs = page.getByRole('tab');
  for (let i = 0; i < await tabs.count(); i++) {
    await tabs.nth(i).press('Enter');
    await clean(`panel ${i + 1}`);
  }
  await page.getByRole('button', { name: wide('Help'), exact: true }).press('Enter');
  const help = page.getByRole('dialog');
  for (const part of await help.getByRole('radio').all()) {
    await part.check({ force: true });
    await clean('help');
  }
  await help.getByRole('button', { name: wide('Close') }).press('Enter');
  for (const [place, title] of [['flaw', 'Flaw bench'], ['make', 'Draw a plate'], ['mark', null], ['desk', null], ['lessons', null], ['progress', null], ['recorded', null]]) {
    await page.goto(`${address}#${place}`);
    await page.getByRole('heading', { level: 1, ...(title && { name: wide(title) }) }).first().waitFor();
    await page.waitForTimeout(800);
    await clean(place);
  }
});
