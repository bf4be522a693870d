// Why a file was refused: every sentence of the simulation has its words in every other language.
import assert from 'node:assert/strict';
import { test } from 'node:test';
import { readdir, readFile } from 'node:fs/promises';
import path from 'node:path';

const ROOT = new URL('../../../', import.meta.url);
/** Where sentences that reach a reader of the page are made. */
const MADE = ['crate/specimen/src/file', 'crate/specimen/src/check', 'crate/exam/src/sheet', 'crate/exam/src/state'];
/** What these say no file of a person's own brings about; nor what crate/exam/src/npz says of arrays that another program wrote wrong. */
const ENGLISH_ALONE = ['crate/specimen/src/file/edit.rs'];
const MADE_BY = ['specimen/src/check.rs', 'specimen/src/file.rs', 'exam/src/hand_in.rs', 'exam/src/seal.rs', 'exam/src/sheet.rs', 'exam/src/log.rs',
  'exam/src/state.rs', 'exam/src/recorded_exam.rs', 'exam/src/paper.rs', 'exam/src/procedure_check.rs', 'exam/src/scheme.rs', 'exam/src/npz.rs',
  'exam/src/acceptance.rs', 'exam/src/class/work.rs', 'instrument/src/recording.rs', 'instrument/src/recording/plate_view.rs', 'page/src/answers.rs',
  'page/src/refusal.rs'].map((file) => `crate/${file}`);

globalThis.location = new URL('http://localhost/?lang=es');
const { refusal, ready } = await import(new URL('www/page/refusal.js', ROOT));
delete globalThis.location;
await ready;

const said = (await readFile(new URL('crate/desk/tests/broken/said.txt', ROOT), 'utf8')).trim().split('\n');

test('what is said of every broken file is said in Spanish, with its place and its values', () => {
  assert.ok(said.length > 50, `${said.length} sentences`);
  assert.deepEqual(said.filter((sentence) => refusal(sentence) === sentence || /\bexpected\b| is | the /.test(refusal(sentence))), []);
  for (const sentence of said) {
    const [place] = /^\S+: /.exec(sentence);
    assert.ok(refusal(sentence).startsWith(place), refusal(sentence));
    const numbers = (words) => (words.match(/\d+(?:\.\d+)?/g) ?? []).sort().join(' ');
    assert.equal(numbers(refusal(sentence)), numbers(sentence));
  }
});

/** Words that no Spanish sentence has. */
const ENGLISH = /\b(?:expected|the|is|of|at|for|with|and|or|than|characters|minutes|degrees|words)\b/;

/** Sentences in a file of the simulation that tell what was expected, with a number for every value. */
async function sentencesOf(file) {
  const [source] = (await readFile(new URL(file, ROOT), 'utf8')).split('#[cfg(test)]');
  const code = source.replace(/^\s*\/\/.*$/gm, '');
  const literals = [...code.matchAll(/"((?:[^"\\]|\\.)*)"/gs)].map(([, words]) => words.replace(/\\\n\s*/g, '').replace(/\\"/g, '"'));
  return literals.filter((words) => /[,;] expected |^expected /.test(words) && !/^[,;]/.test(words))
    // What comes before these is said elsewhere.
    .map((words) => words.replace(/^(\{what\}: )?\{(found|error)\}/, 'is empty').replace('invalid type: ', '')
      .replace(/^(?=(?:on a|between|at the toe|in the weld) )/, 'a toe crack lies '))
    .map((words) => words.replace(/\{\{/g, '{').replace(/\}\}/g, '}').replace(/\{[\w:?.]*\}|\{[A-Z_ /0-9]+\}/g, '7'));
}

test('no sentence in the code is without its words in Spanish', async () => {
  const files = [...MADE_BY];
  for (const folder of MADE) {
    const found = await readdir(new URL(folder, ROOT), { recursive: true });
    files.push(...found.filter((file) => file.endsWith('.rs') && !file.includes('test')).map((file) => path.posix.join(folder, file))
      .filter((file) => !ENGLISH_ALONE.includes(file)));
  }
  const all = (await Promise.all(files.map(sentencesOf))).flat();
  assert.ok(all.length > 110, `${all.length} sentences`);
  assert.deepEqual(all.map((sentence) => [sentence, refusal(sentence)]).filter(([sentence, own]) => own === sentence || ENGLISH.test(own)), []);
});

test('why a plate cannot be sat is said in Spanish', () => {
  const reasons = [
    'procedure.scanning_gain_db: an echo at the recording level of -20.0 dB stands at 16 % of the screen while scanning, expected at least 20 %',
    'plate.grain_level_db: grain alone reaches -9.0 dB, above the recording level of -14.0 dB',
    'scheme.below_recording_level: lists plate.flaw[0] (toe crack), but it reaches -3.1 dB from side A',
    'plate.flaw[0] (toe crack): below the recording level everywhere (-31.0 dB at best), but not in scheme.below_recording_level',
    'plate.flaw[2] (line of pores): mandatory, but no echo of it stands clear of the grain (-9.0 dB at best)',
    'plate.flaw[2] (root crack): mandatory, but cap or root echo far higher beside every echo of it (-9.0 dB at best)',
    "procedure.index_offset_mm: the yard's own procedure does not fit: begins at 7 mm, but the cap ends 9.0 mm from the centreline, expected no less",
    'plate.flaw[1] and plate.flaw[2]: so close above each other that a call could belong to either',
  ];
  const told = reasons.map(refusal);
  assert.deepEqual(told.filter((words) => / (?:the|but|of|at|and) /.test(words)), []);
  assert.equal(told[4], 'plate.flaw[2] (poros alineados): obligatoria, pero ningún eco suyo destaca del grano (-9.0 dB como mejor eco)');
});

test('a sentence that nobody knows stays as it was said', () => {
  for (const sentence of ['th.toml:3: plate: the moon is round, expected cheese', `unknown key \`${'k'.repeat(50_000)}\`, expected no key here`]) {
    assert.equal(refusal(sentence), sentence);
  }
});
