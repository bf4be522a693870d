// Lessons: fetches their files, puts their plate on the bench, holds it against the goals.
import { Bench, lesson_listed, lesson_order, lesson_plate } from '../wasm/page.js';

/** The language whose words stand in when those of another are missing. */
const FIRST = 'en';
const FOLDER = '../scenarios/';

/** A file of the scenarios as {name, bytes}; null where there is none. */
async function file(name) {
  const response = await fetch(new URL(FOLDER + name, import.meta.url));
  return response.ok ? { name, bytes: new Uint8Array(await response.arrayBuffer()) } : null;
}

const words = async (name, language) =>
  (language && language !== FIRST ? await file(`lessons/${language}/${name}.toml`) : null) ?? file(`lessons/${FIRST}/${name}.toml`);

function missing(what) {
  return Object.assign(new Error(what), { reason: 'fail.no_lesson' });
}

/** The lessons in order: name, title, what they teach, count of steps. */
export async function lessonList({ language }) {
  const order = await file('lessons/order.toml');
  if (!order) throw missing('order');
  const names = JSON.parse(lesson_order(order.name, order.bytes));
  return Promise.all(names.map(async (name) => {
    const said = await words(name, language);
    if (!said) throw missing(name);
    return { name, ...JSON.parse(lesson_listed(said.name, said.bytes)) };
  }));
}

/** A bench with the lesson's plate on it; gives {bench, lesson}. */
export async function lessonBench({ lesson: name, step, language }) {
  const safe = encodeURIComponent(name);
  const [goals, said] = await Promise.all([file(`lessons/${safe}.toml`), words(safe, language)]);
  if (!goals || !said) throw missing(name);
  const plate = await file(`${lesson_plate(goals.name, goals.bytes)}.toml`);
  if (!plate) throw missing(name);
  const bench = Bench.from_paper(plate.name, plate.bytes);
  try {
    const about = JSON.parse(bench.begin_lesson(goals.name, goals.bytes, said.name, said.bytes, step ?? 0));
    return { bench, lesson: { name, step: step ?? 0, ...about } };
  } catch (error) {
    bench.free();
    throw error;
  }
}

/** How the lesson stands; `next` goes on before, `varied` changes the flaw of the step. */
export function lessonNow(bench, { next, varied = null }) {
  if (varied !== null) bench.vary_lesson(varied);
  if (next) bench.next_lesson_step();
  return JSON.parse(bench.lesson());
}
