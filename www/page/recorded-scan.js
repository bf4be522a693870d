// A recorded scan that the worker holds: what is shown of it, where the cursor is. Views listen for 'change', 'lines', 'passes'.
import { SCAN } from '../shared/messages.js';
import { text } from './text.js';

const clamp = (value, low, high) => Math.min(high, Math.max(low, value));
/** More than a full recording can take; larger files are not worth reading. */
const MOST_FILE_BYTES = 450_000_000;
/** Which coordinate of the cursor each view has across and down. */
export const WAYS = { top: ['y_mm', 'offset_mm'], side: ['y_mm', 'depth_mm'], end: ['offset_mm', 'depth_mm'] };

export class RecordedScan extends EventTarget {
  #ask;
  #looking = 0;
  about = null;
  shown = { colouring: 'amplitude', gain_db: 40, threshold_percent: 0, pass: null, leg: null, depth_mm: null, sound_path_mm: null };
  cursor = { y_mm: 0, offset_mm: 0, depth_mm: 0 };
  /** What the cursor is on, and what is read there. */
  place = null;
  reading = null;
  frame_at = { pass: 0, line: 0 };

  /** `ask(what, values)` asks the worker about this scan. */
  constructor(ask) {
    super();
    this.#ask = ask;
  }

  get lines() { return this.about?.passes.reduce((sum, { lines, missing }) => sum + lines - missing.length, 0) ?? 0; }
  get any() { return this.lines > 0; }

  say(what = 'change') { this.dispatchEvent(new Event(what)); }
  ask(what, values) { return this.#ask(what, values); }

  /** What the worker says of it. */
  take(about) {
    this.about = about && { ...about, passes: about.passes.map(({ course, missing }) => ({ ...course, missing })) };
  }

  /** Chooses what is shown: colouring, gain, threshold, pass, leg. */
  async show(part) {
    const before = this.shown;
    this.shown = { ...before, ...part };
    this.shown.gain_db = clamp(this.shown.gain_db, 0, 110);
    this.shown.threshold_percent = clamp(this.shown.threshold_percent, 0, 100);
    if (['pass', 'leg', 'depth_mm', 'sound_path_mm'].some((name) => this.shown[name] !== before[name])) await this.ask(SCAN.SELECT, { selection: this.selection() });
    await this.#look();
    this.say('passes');
  }

  /** What part of the recording is shown. */
  selection(more = {}) {
    const beside = 1.5 * this.about.setting.thickness_mm;
    return { offset_mm: [-beside, beside], pass: this.shown.pass, leg: this.shown.leg, depth_mm: this.shown.depth_mm, sound_path_mm: this.shown.sound_path_mm, ...more };
  }

  paint(projection) {
    const { colouring, gain_db, threshold_percent } = this.shown;
    return this.ask(SCAN.VIEW, { projection, colouring, gain_db, threshold_percent });
  }

  paintFrame() {
    return this.ask(SCAN.SECTOR, { ...this.frame_at, gain_db: this.shown.gain_db, leg: this.shown.leg });
  }

  /** The echo trace of the beam at the cursor, % of full screen height; null where nothing was recorded. */
  async trace() {
    const { place } = this;
    return place && this.ask(SCAN.TRACE, { pass: place.pass, line: place.line, beam: place.beam, gain_db: this.shown.gain_db });
  }

  /** What a gate reads on the beam at the cursor; null where nothing was recorded or nothing reaches it. */
  async gateReading(gate) {
    const { place } = this;
    return place && this.ask(SCAN.GATE, { pass: place.pass, line: place.line, beam: place.beam, gate, gain_db: this.shown.gain_db });
  }

  curve(way, within, drop_db) {
    return this.ask(SCAN.CURVE, { way, within, drop_db, gain_db: this.shown.gain_db });
  }

  /** Moves the cursor in one view: to a place across and down, mm. */
  async moveCursor(projection, across_mm, down_mm) {
    const [across, down] = WAYS[projection];
    const { length_mm, thickness_mm } = this.about.setting;
    const most = { y_mm: [0, length_mm], offset_mm: [-1.5 * thickness_mm, 1.5 * thickness_mm], depth_mm: [0, thickness_mm] };
    this.cursor = { ...this.cursor, [across]: clamp(across_mm, ...most[across]), [down]: clamp(down_mm, ...most[down]) };
    const looking = ++this.#looking;
    const place = await this.ask(SCAN.PLACE, { projection, across_mm: this.cursor[across], down_mm: this.cursor[down] });
    if (looking !== this.#looking) return;
    const third = ['y_mm', 'offset_mm', 'depth_mm'].find((name) => name !== across && name !== down);
    if (place) this.cursor = { ...this.cursor, [third]: place[third] };
    await this.#on(place);
  }

  /** Scrolls by lines through the frames of the pass at the cursor. */
  async scroll(lines) {
    const { step_mm } = this.about.passes[this.frame_at.pass];
    await this.moveCursor('side', this.cursor.y_mm + lines * step_mm, this.cursor.depth_mm);
  }

  async toHighest() {
    const place = await this.ask(SCAN.HIGHEST);
    if (place) this.cursor = { y_mm: place.y_mm, offset_mm: place.offset_mm, depth_mm: place.depth_mm };
    await this.#on(place);
  }

  async #on(place) {
    this.place = place;
    if (!this.about.passes.length) return this.say();
    if (place) this.frame_at = { pass: place.pass, line: place.line };
    else {
      const { start_mm, step_mm, lines } = this.about.passes[this.frame_at.pass];
      this.frame_at = { pass: this.frame_at.pass, line: clamp(Math.round((this.cursor.y_mm - start_mm) / step_mm), 0, lines - 1) };
    }
    await this.#look();
  }

  async #look() {
    const { place } = this;
    this.reading = place && await this.ask(SCAN.READING, { pass: place.pass, line: place.line, beam: place.beam,
      path_mm: place.sound_path_mm, gain_db: this.shown.gain_db });
    this.say();
  }

  /** The recording as an .npz file. */
  file() { return this.ask(SCAN.SAVE); }

  /** Takes up an .npz file in place of what was recorded; one that cannot be read leaves it as it was. */
  async load(file) {
    if (file.size > MOST_FILE_BYTES) throw new Error(text('record.file.large', { name: file.name, mb: MOST_FILE_BYTES / 1e6 }));
    this.shows(await this.ask(SCAN.LOAD, { file }));
    await this.toHighest();
  }

  shows(about) {
    this.place = this.reading = null;
    this.frame_at = { pass: 0, line: 0 };
    this.take(about);
    this.shown = { ...this.shown, gain_db: about.gain_db, pass: null, leg: null, depth_mm: null, sound_path_mm: null };
    this.say('passes');
  }
}
