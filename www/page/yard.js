// What the yard has ready: its practice plates, its reference blocks, and the plate of the day.

/** File names of the practice plates, easy ones first, with what their small drawing needs. */
export const PLATES = [
  ['th-01', 16, 'single-v'], ['th-02', 10, 'square'], ['th-07', 20, 'single-v'], ['th-04', 20, 'single-bevel'],
  ['th-03', 12, 'single-v'], ['th-05', 25, 'double-v'], ['th-06', 12, 'backing-bar'], ['th-11', 25, 'double-v'],
  ['th-08', 15, 'single-j'], ['th-09', 30, 'double-bevel'], ['th-13', 20, 'single-v'], ['th-10', 18, 'single-v'],
  ['th-12', 36, 'double-v'],
];
/** File names of the reference blocks. */
export const BLOCKS = ['radius-block', 'angle-block', 'notch-block'];
/** Joints that plates are drawn with. */
export const PREPARATIONS = ['single-v', 'double-v', 'single-bevel', 'double-bevel', 'single-j', 'square', 'backing-bar'];
export const LEVELS = ['1', '2', '3', '4', '5'];

const DAY_MS = 86_400_000;

/** The plate of a day, the same for everybody: joint and level go round, the seed is the date as people write it. */
export function plateOfDay(date) {
  const day = Math.round(Date.UTC(date.getFullYear(), date.getMonth(), date.getDate()) / DAY_MS);
  const seed = date.getFullYear() * 10_000 + (date.getMonth() + 1) * 100 + date.getDate();
  return { preparation: PREPARATIONS[day % PREPARATIONS.length], level: LEVELS[day % LEVELS.length], seed: String(seed) };
}

/** A number nobody has seen yet. */
export function freshSeed() {
  return String(crypto.getRandomValues(new Uint32Array(1))[0] % 1_000_000);
}

/** A seed that nobody finds by trying: for plates that are given out without their map. */
export function longSeed() {
  const [high, low] = crypto.getRandomValues(new Uint32Array(2));
  return String((BigInt(high) << 32n | BigInt(low)) >> 1n);
}

export function freshAddress(preparation, level, seed) {
  return `#bench?${new URLSearchParams({ preparation, level, seed })}`;
}

/** The plate that an address asks for, or null. */
export function asked(wanted) {
  for (const kind of ['plate', 'block']) if (wanted.get(kind)) return { kind, [kind]: wanted.get(kind) };
  if (wanted.get('lesson')) return { kind: 'lesson', lesson: wanted.get('lesson'), step: Number(wanted.get('step') ?? 0), language: document.documentElement.lang };
  if (!wanted.get('preparation')) return null;
  return { kind: 'practice', preparation: wanted.get('preparation'), level: Number(wanted.get('level') ?? 1), seed: wanted.get('seed') ?? '1' };
}
