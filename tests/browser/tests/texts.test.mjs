// The catalogues: every language has every text, with the same values in it, and nothing that nobody asks for.
import assert from 'node:assert/strict';
import { test } from 'node:test';
import { readFile } from 'node:fs/promises';
import { parse } from 'smol-toml';

const page = (name) => import(new URL(`../../../www/page/${name}`, import.meta.url));
const { LANGUAGES } = await page('language.js');
const { TEXTS: ENGLISH } = await page('texts.en.js');

const forms = (entry) => (typeof entry === 'string' ? { other: entry } : entry);
const values = (words) => [...new Set(words.match(/\{[^}]*\}/g) ?? [])].sort().join(' ');

for (const [language] of LANGUAGES.filter(([name]) => name !== 'en')) {
  const { TEXTS } = await page(`texts.${language}.js`);

  test(`${language}: no text is missing`, () => {
    assert.deepEqual(Object.keys(ENGLISH).filter((key) => !(key in TEXTS)), []);
  });

  test(`${language}: no text is left over`, () => {
    assert.deepEqual(Object.keys(TEXTS).filter((key) => !(key in ENGLISH)), []);
  });

  test(`${language}: every text shows the same values as in English`, () => {
    const wrong = Object.keys(TEXTS).filter((key) => key in ENGLISH && values(forms(TEXTS[key]).other) !== values(forms(ENGLISH[key]).other));
    assert.deepEqual(wrong, []);
  });

  test(`${language}: a text in several forms has those that the language needs`, () => {
    const needed = new Intl.PluralRules(language).resolvedOptions().pluralCategories;
    // Millions, which Spanish counts apart, are not counted here.
    const lacking = Object.entries(TEXTS).filter(([, entry]) => typeof entry !== 'string'
      && needed.some((form) => form !== 'many' && !entry[form])).map(([key]) => key);
    assert.deepEqual(lacking, []);
  });

  test(`${language}: hardly any text is the same as in English`, () => {
    // Names, units and numbers are; whole sentences would be texts nobody translated.
    const same = Object.keys(TEXTS).filter((key) => TEXTS[key] === ENGLISH[key] && / \w{3,} \w{3,} /.test(forms(TEXTS[key]).other));
    assert.deepEqual(same, []);
  });
}

const LESSONS = new URL('../../../scenarios/lessons/', import.meta.url);
const lesson = async (language, name) => parse(await readFile(new URL(`${language}/${name}.toml`, LESSONS), 'utf8'));

for (const [language] of LANGUAGES.filter(([name]) => name !== 'en')) {
  test(`${language}: every lesson says in every step what it says in English`, async () => {
    const { lessons } = parse(await readFile(new URL('order.toml', LESSONS), 'utf8'));
    const shape = ({ step, ...words }) => ({ keys: Object.keys(words), steps: step.map(({ id, hints, ...rest }) => [id, hints.length, Object.keys(rest)]) });
    const sentences = ({ step, title, teaches, end }) => [title, teaches, end, ...step.flatMap(({ text, hints, success }) => [text, success, ...hints])];
    // Heights, places and gains in a hint are those of the plate, whatever the language.
    const numbers = (words) => (words.match(/\d+([.,]\d+)?/g) ?? []).map((number) => number.replace(',', '.')).sort().join(' ');
    assert.ok(lessons.length > 0);
    for (const name of lessons) {
      const [english, said] = await Promise.all([lesson('en', name), lesson(language, name)]);
      assert.deepEqual(shape(said), shape(english), name);
      sentences(said).forEach((words, k) => {
        assert.notEqual(words, sentences(english)[k]);
        assert.equal(numbers(words), numbers(sentences(english)[k]), `${name}: ${words}`);
      });
    }
  });
}
