// Records a plate for an exam, beside whatever plate is open, and lets everything else have its turn between two lines.
import { Bench, Saving, Scan } from '../wasm/page.js';
import { packed } from './recording-file.js';
import { turn } from './turn.js';

/** Pause between two tidings, ms. */
const TELL_MS = 100;

let run = 0;

/** Ends the recording under way. */
export function stop() {
  run++;
  return null;
}

/** The exam's file; null when it was stopped. `rows` is how many index offsets are recorded from each side. */
export async function make({ name, bytes, exam, rows, step_mm }, words, tell) {
  const mine = ++run;
  const same = () => mine === run;
  const bench = Bench.to_record(words, name, bytes, exam);
  let scan = null;
  try {
    scan = Scan.on(bench);
    const { procedure, length_mm } = JSON.parse(bench.about());
    const [first, lines] = JSON.parse(scan.begin(words, bench, JSON.stringify({ sides: procedure.sides,
      index_offsets_mm: [...bench.raster_mm(rows)], skew_deg: 0, from_mm: 0, to_mm: length_mm, step_mm })));
    const all = lines.reduce((sum, count) => sum + count, 0);
    let [done, told_ms] = [0, -Infinity];
    for (const [pass, count] of lines.entries()) {
      for (let line = 0; line < count; line++, done++) {
        if (performance.now() - told_ms > TELL_MS) {
          told_ms = performance.now();
          tell(done / all);
        }
        await turn();
        if (!same()) return null;
        scan.take(bench, 0, first + pass, line);
      }
    }
    tell(1);
    return await packed(Saving.exam(scan, bench), scan, same);
  } catch (error) {
    if (same()) throw error;
    return null;
  } finally {
    scan?.free();
    bench.free();
  }
}
