// Writes each catalogue of another language than English as one list of texts, in the order of the English keys and without them,
// a text that stands twice as the place of the first, null for none;
// www/page/text.js puts them together again. Run by the build with the folder of the page's scripts.
import { readdir, rm, writeFile } from 'node:fs/promises';
import { join } from 'node:path';
import { pathToFileURL } from 'node:url';

const folder = process.argv[1];
const texts = async (language) => (await import(pathToFileURL(join(folder, `texts.${language}.js`)))).TEXTS;
const { keysMark } = await import(pathToFileURL(join(folder, 'keys-mark.js')));
const keys = Object.keys(await texts('en'));
const files = await readdir(folder);
for (const language of files.map((name) => /^texts\.(\w+)\.js$/.exec(name)?.[1]).filter((language) => language && language !== 'en')) {
  const own = await texts(language);
  const places = new Map();
  const list = keys.map((key, k) => {
    if (!own[key]) return null;
    const words = JSON.stringify(own[key]);
    if (!places.has(words)) places.set(words, k);
    return places.get(words) === k ? own[key] : places.get(words);
  });
  for (const name of files.filter((name) => name.startsWith('texts-') && name.endsWith(`.${language}.js`))) await rm(join(folder, name));
  await writeFile(join(folder, `texts.${language}.js`), `export const KEYS=${keysMark(keys)};export const TEXTS=${JSON.stringify(list)};`);
}
