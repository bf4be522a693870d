// Records scans, line by line, and lets everything else have its turn between two lines.
import { SCAN } from '../shared/messages.js';
import { keepRecording, recallRecording } from '../shared/recording-store.js';
import { Saving, Scan, drop_points } from '../wasm/page.js';
import { placeProbe } from './frames.js';
import { packed, unpacked } from './recording-file.js';
import { turn } from './turn.js';

/** Pause between two tidings of a run, ms. */
const TELL_MS = 200;
/** The probe runs no faster than this along the weld, mm/s: faster is not scanning. */
const FASTEST_MM_PER_S = 120;
/** A probe that stands on a line when recording begins has come to it: this part of a step before. */
const STILL_SHARE = 1e-3;

export class Recorder {
  #memory;
  #bench;
  #words;
  #tell;
  #scan = null;
  /** Number of the run or slide under way; another number ends it. */
  #run = 0;
  #hand = null;

  /** `bench()` gives the open plate, `words()` those of the reader, `tell(content)` sends how far a run is. */
  constructor(memory, bench, words, tell) {
    this.#memory = memory;
    this.#bench = bench;
    this.#words = words;
    this.#tell = tell;
  }

  async ask(what, values) {
    const scan = this.#scan;
    switch (what) {
      case SCAN.FORGET:
        this.stop();
        scan?.free();
        this.#scan = null;
        return null;
      case SCAN.RECALL:
        return this.#recall(values.id);
      case SCAN.KEEP:
        return scan ? keepRecording(values.id, scan.kept()) : false;
      case SCAN.SAVE: {
        const run = this.#run;
        return scan && packed(Saving.of(scan), scan, () => run === this.#run && scan === this.#scan);
      }
      case SCAN.LOAD:
        return this.#load(values.file);
      case SCAN.RUN:
        return this.#along(values);
      case SCAN.HAND:
        return this.#byHand(values);
      case SCAN.STOP:
        this.stop();
        return null;
      case SCAN.DROP:
        return JSON.parse(drop_points(new Float64Array(values.positions_mm), new Float64Array(values.percent), values.drop_db));
      default:
        return scan ? this.#shown(scan, what, values) : null;
    }
  }

  async #recall(id) {
    const run = this.#run;
    const bytes = await recallRecording(id);
    // Whoever began to record meanwhile keeps what is being recorded.
    if (!bytes || run !== this.#run || this.#scan) return null;
    this.#scan = Scan.from_kept(bytes);
    return JSON.parse(this.#scan.about());
  }

  async #load(file) {
    const next = await unpacked(file);
    this.stop();
    this.#scan?.free();
    this.#scan = next;
    return JSON.parse(next.about());
  }

  #shown(scan, what, values) {
    const { pass, line, beam, gain_db } = values;
    switch (what) {
      case SCAN.ABOUT:
        return JSON.parse(scan.about());
      case SCAN.SELECT:
        return scan.select(JSON.stringify(values.selection)) ?? null;
      case SCAN.VIEW:
        return this.#picture(scan, scan.paint(values.projection, values.colouring, gain_db, values.threshold_percent));
      case SCAN.SECTOR:
        return this.#picture(scan, scan.paint_sector(pass, line, gain_db, values.leg ?? undefined));
      case SCAN.PLACE:
        return JSON.parse(scan.place(values.projection, values.across_mm, values.down_mm));
      case SCAN.HIGHEST:
        return JSON.parse(scan.highest());
      case SCAN.READING: {
        const at = [pass, line, beam, values.path_mm, gain_db];
        const reading = JSON.parse(scan.reading(...at));
        return reading && { ...reading, snapshot: this.#bench() ? JSON.parse(scan.made_from(this.#bench(), ...at)) : null };
      }
      case SCAN.GATE:
        return JSON.parse(scan.gate_reading(pass, line, beam, JSON.stringify(values.gate), gain_db));
      case SCAN.TRACE:
        return scan.trace(pass, line, beam, gain_db);
      case SCAN.CURVE:
        return JSON.parse(scan.curve(values.way, JSON.stringify(values.within), gain_db, values.drop_db));
      default:
        throw new Error(what);
    }
  }

  #picture(scan, told) {
    const place = JSON.parse(told);
    if (!place) return null;
    const buffer = new ArrayBuffer(scan.picture_length());
    new Uint8Array(buffer).set(new Uint8Array(this.#memory.buffer, scan.picture_pointer(), buffer.byteLength));
    return { place, buffer };
  }

  /** Ends what is being recorded; what was taken stays. */
  stop() {
    this.#run++;
    this.#hand = null;
  }

  #begin(wish) {
    this.stop();
    const fresh = !this.#scan;
    const scan = this.#scan ?? Scan.on(this.#bench());
    try {
      const begun = JSON.parse(scan.begin(this.#words(), this.#bench(), JSON.stringify(wish)));
      this.#scan = scan;
      return begun;
    } catch (error) {
      if (fresh) scan.free();
      throw error;
    }
  }

  async #along({ wish, t_ms }) {
    const [first, lines] = this.#begin(wish);
    const [run, bench, scan, begun_ms] = [this.#run, this.#bench(), this.#scan, performance.now()];
    const all = lines.reduce((sum, count) => sum + count, 0);
    let [done, told_ms] = [0, -Infinity];
    for (let k = 0; k < lines.length; k++) {
      for (let line = 0; line < lines[k]; line++) {
        const elapsed_ms = performance.now() - begun_ms;
        const early_ms = (done * wish.step_mm * 1000) / FASTEST_MM_PER_S - elapsed_ms;
        await (early_ms > 4 ? new Promise((go) => setTimeout(go, early_ms)) : turn());
        if (run !== this.#run || bench !== this.#bench()) return { stopped: true, done, all };
        scan.take(bench, t_ms + elapsed_ms, first + k, line);
        done++;
        if (performance.now() - told_ms < TELL_MS && done < all) continue;
        told_ms = performance.now();
        const pose = JSON.parse(bench.state()).pose;
        this.#tell({ pass: first + k, line, pose, done, all, elapsed_ms: told_ms - begun_ms });
      }
    }
    return { stopped: false, done, all, elapsed_ms: performance.now() - begun_ms };
  }

  #byHand({ wish, from_mm }) {
    const [first] = this.#begin(wish);
    this.#hand = { pass: first, from_mm: from_mm - wish.step_mm * STILL_SHARE, at_ms: performance.now() - 1000 };
    return JSON.parse(this.#scan.about());
  }

  /** The probe was moved by hand: takes the lines it came over, as many as there was time for. */
  slid(setup) {
    const { t_ms, pose } = setup;
    const hand = this.#hand;
    if (!hand) return;
    const [bench, now] = [this.#bench(), performance.now()];
    placeProbe(bench, setup);
    const lines = this.#scan.passed(bench, hand.pass, hand.from_mm, now - hand.at_ms);
    for (const line of lines) this.#scan.take(bench, t_ms, hand.pass, line);
    [hand.from_mm, hand.at_ms] = [pose.y_mm, now];
    if (lines.length) this.#tell({ pass: hand.pass, line: lines.at(-1), pose, by_hand: true });
  }
}
