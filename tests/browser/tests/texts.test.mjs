// The catalogues: every language has every text, with the same values in it, and nothing that nobody asks for.
import assert from 'node:assert/strict';
import { test } from 'node:test';
import { readFile, readdir } from 'node:fs/promises';
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

/** What only a keyboard or a mouse does, in the words of each language. */
const KEYS = { en: /\b[Pp]ress (?:[A-Z[\]]|[←-⇿]|Enter)|\b[Cc]lick|\bShift\b|\bAlt\b|\([A-Z]\)/, es: /\b[Pp]ulsa (?:[A-Z[\]]|[←-⇿]|Intro)|\b[Cc]lic\b|\bMayús\b|\bAlt\b|\([A-Z]\)/ };
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

// What the simulation names in English is looked up by that name: the catalogue has to have the same.
const source = (path) => readFile(new URL(`../../../${path}`, import.meta.url), 'utf8');
const under = (begin) => Object.entries(ENGLISH).filter(([key]) => key.startsWith(begin));

test('kinds of flaws have the names that the simulation gives them', async () => {
  const words = (await source('crate/specimen/src/flaw.rs')).split('pub fn words(self)')[1].split('\n    }\n')[0];
  const told = [...words.matchAll(/Self::(\w+) => "([^"]+)"/g)]
    .map(([, kind, name]) => [`kind.${kind.replace(/(?<!^)[A-Z]/g, (letter) => `-${letter}`).toLowerCase()}`, name]);
  assert.equal(told.length, 13);
  assert.deepEqual(told.sort(), under('kind.').filter(([key]) => key !== 'kind.unset').sort());
});

test('what the simulation says by a key it says in the words of the English catalogue', async () => {
  const tables = await Promise.all(['english', 'english_marks', 'english_reports', 'english_drawings'].map((name) => source(`crate/exam/src/said/${name}.rs`)));
  const said = [...tables.map((table) => table.split('const SENTENCES')[1].split('];')[0]).join('').matchAll(/"(said\.[^"]*)",\s*"((?:[^"\\]|\\\n\s*)*)"/g)].map(([, key, words]) => [key, words.replace(/\\\n\s*/g, '')]);
  assert.ok(said.length > 15, `${said.length} sentences`);
  assert.deepEqual(said.sort(), under('said.').sort());
});

test('every key that the simulation says something by has a sentence, and none is left over', async () => {
  const files = (await Promise.all(['exam', 'page'].map(async (name) => (await readdir(new URL(`../../../crate/${name}/src/`, import.meta.url), { recursive: true }))
    .filter((file) => file.endsWith('.rs') && !/said\/english|tests/.test(file)).map((file) => `crate/${name}/src/${file}`)))).flat();
  // What stands in a file's own tests is said nowhere else.
  const code = (await Promise.all(files.map(source))).map((text) => text.split('#[cfg(test)]\nmod tests {')[0]).join('\n');
  const keys = new Set([...code.matchAll(/"(said\.[\w.]+)"/g)].map(([, key]) => key));
  assert.deepEqual([...keys].sort(), under('said.').map(([key]) => key).sort());
});

test('plates, blocks and drawn plates have the titles that the simulation gives them', async () => {
  const files = await Promise.all(['plates', 'blocks'].map(async (folder) => {
    const names = await readdir(new URL(`../../../scenarios/${folder}/`, import.meta.url));
    return Promise.all(names.filter((name) => name.endsWith('.toml')).map((name) => source(`scenarios/${folder}/${name}`)));
  }));
  const own = files.flat().map((text) => parse(text).plate.title);
  const jobs = (await source('crate/specimen/src/generator.rs')).split('const JOBS')[1].split('];')[0];
  const drawn = [...jobs.matchAll(/"([^"]+)"/g)].map(([, job]) => `Tern Harbour, ${job}`);
  assert.ok(own.length > 10 && drawn.length > 5);
  assert.deepEqual([...own, ...drawn].sort(), under('title.').filter(([key]) => key !== 'title.place').map(([, title]) => title).sort());
});

for (const [language] of LANGUAGES) {
  test(`${language}: no lesson tells fingers of a key`, async () => {
    const { lessons } = parse(await readFile(new URL('order.toml', LESSONS), 'utf8'));
    const { TEXTS } = await page(`texts.${language}.js`);
    const told = (words) => words.replace(/\{(\w+)\}/g, (whole, key) => TEXTS[`lesson.key.${key}`] ?? whole).replace(/<([^<>|]*)\|([^<>|]*)>/g, '$2');
    const all = (await Promise.all(lessons.map((name) => lesson(language, name)))).flatMap(({ step }) => step.flatMap(({ text, hints }) => [text, ...hints]));
    assert.ok(all.filter((words) => /<|\{E/.test(words)).length > 20, 'those with keys are told of them');
    assert.deepEqual(all.map(told).filter((words) => KEYS[language].test(words) || /[<>|{}]/.test(words)), []);
  });
}
