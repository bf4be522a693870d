// "The model and its limits" in every language: the same page with the same figures, and the one of the reader's language is opened.
import assert from 'node:assert/strict';
import { readFile, readdir } from 'node:fs/promises';
import { test } from 'node:test';
import { address, journey } from '../harness/journey.mjs';

const WWW = new URL('../../../www/', import.meta.url);
const { LANGUAGES } = await import(new URL('page/language.js', WWW));
const catalogue = async (language) => (await import(new URL(`page/texts.${language}.js`, WWW))).TEXTS;
const OTHERS = LANGUAGES.map(([language]) => language).filter((language) => language !== 'en');
const page = (file) => readFile(new URL(file, WWW), 'utf8');
const english = await page('model.html');
const pages = await Promise.all(OTHERS.map(async (language) => [language, await page(`model.${language}.html`)]));

const MAIN = '<main class="model">';

/** Tags, and between them words, in the order of the page. */
const parts = (page) => page.split(/(<[^>]*>)/).filter((part) => part.trim());
/** A tag without what differs with the language. */
const bare = (tag) => tag.replace(/ (alt|lang|hreflang|href)="[^"]*"/g, '');
/** Numbers with their units, in whatever order a language puts them, and however it writes their fractions. */
const figures = (words, mark) => [...words.matchAll(/−?\d+(?:[.,]\d+)?(?:°|\u00a0(?:dB|mm|ns|%))?/g)]
  .map(([figure]) => figure.replace(mark, '.')).sort().join(' ');
const words = (page, mark) => parts(page.split(MAIN)[1]).flatMap((part) => (part.startsWith('<') ? [/ alt="([^"]*)"/.exec(part)?.[1] ?? ''] : [part]))
  .map((part) => ({ part, figures: figures(part, mark) }));

/** What differs between the English page and another one. */
function differences(own, mark) {
  const found = [];
  const [there, here] = [english, own].map((page) => parts(page).filter((part) => part.startsWith('<')).map(bare));
  there.forEach((tag, k) => tag === here[k] || found.push(`${tag} is ${here[k]}`));
  if (there.length !== here.length) found.push(`${there.length} tags are ${here.length}`);
  const [said, saidHere] = [words(english, '.'), words(own, mark)];
  said.forEach((one, k) => {
    if (one.figures !== saidHere[k]?.figures) found.push(`${one.part} is ${saidHere[k]?.part}`);
    if (/\p{L}{3}.*\p{L}{3}/u.test(one.part) && one.part === saidHere[k]?.part) found.push(`not translated: ${one.part}`);
  });
  return found;
}

test('every language has a page of its own, and no page is left over', async () => {
  const files = (await readdir(WWW)).filter((file) => file.startsWith('model') && file.endsWith('.html')).sort();
  assert.deepEqual(files, ['model.html', ...OTHERS.map((language) => `model.${language}.html`)].sort());
});

for (const [language, own] of pages) {
  const mark = new Intl.NumberFormat(language).format(0.5)[1];

  test(`${language}: the page has the parts and the figures of the English one`, () => assert.deepEqual(differences(own, mark), []));

  test(`${language}: a figure that differs is found, wherever it stands`, () => {
    const places = [...own.split(MAIN)[1].matchAll(/\d+(?=[,\d]*(?:<\/td>|°|\u00a0))/g)];
    assert.ok(places.length > 90, `${places.length} figures`);
    const head = own.indexOf(MAIN) + MAIN.length;
    for (const { 0: figure, index } of places) {
      const at = head + index;
      const wrong = own.slice(0, at) + (Number(figure) + 1) + own.slice(at + figure.length);
      assert.notDeepEqual(differences(wrong, mark), [], own.slice(at - 40, at + 20));
    }
  });

  test(`${language}: title, caution and the way to it are those of the catalogue`, async () => {
    const TEXTS = await catalogue(language);
    const told = own.replace(/\s+/g, ' ');
    assert.ok(told.includes(`<html lang="${language}">`));
    assert.ok(told.includes(`<h1>${TEXTS['caution.model']}</h1>`) && told.includes(`<title>${TEXTS['caution.model']} – Trialplate</title>`));
    assert.ok(told.includes(`<p class="caution">${TEXTS['caution.long']}</p>`));
    assert.equal(TEXTS['caution.model.page'], `model.${language}.html`);
  });
}

for (const [language, name] of LANGUAGES) {
  journey(`the start page and the caution lead to it: ${name}`, async ({ page, context }) => {
    const TEXTS = await catalogue(language);
    const opened = async () => {
      const [model] = await Promise.all([context.waitForEvent('page'), page.getByRole('link', { name: TEXTS['caution.model'] }).last().click()]);
      await model.getByRole('heading', { level: 1, name: TEXTS['caution.model'] }).waitFor();
      assert.equal(await model.evaluate(() => document.documentElement.lang), language);
      return model;
    };
    await page.goto(`${address}?lang=${language}`);
    await page.getByRole('button', { name: TEXTS['start.first'] }).waitFor();
    await (await opened()).close();
    await page.getByRole('button', { name: TEXTS['caution.button'], exact: true }).click();
    const model = await opened();
    // To each other language, and from there to the start in that language.
    const [, [other, otherName]] = [...LANGUAGES].sort(([one]) => (one === language ? -1 : 1));
    await model.getByRole('link', { name: otherName, exact: true }).click();
    await model.getByRole('heading', { level: 1, name: (await catalogue(other))['caution.model'] }).waitFor();
    await model.getByRole('link', { name, exact: true }).click();
    await model.getByRole('heading', { level: 1, name: TEXTS['caution.model'] }).waitFor();
    await model.getByRole('link', { name: 'Trialplate', exact: true }).click();
    await model.getByRole('button', { name: TEXTS['start.first'] }).waitFor();
  });
}
