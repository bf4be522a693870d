// The recorded scan: what the worker holds of it, what is shown, where the cursor is. Views listen for 'change'.
import { SCAN, TO_PAGE } from '../shared/messages.js';

const clamp = (value, low, high) => Math.min(high, Math.max(low, value));
/** Which coordinate of the cursor each view has across and down. */
export const WAYS = { top: ['y_mm', 'offset_mm'], side: ['y_mm', 'depth_mm'], end: ['offset_mm', 'depth_mm'] };

export class Recording extends EventTarget {
  #link;
  #session;
  #looking = 0;
  about = null;
  /** How far a run is, or null. */
  progress = null;
  by_hand = false;
  /** Whether the browser has a copy: true, false where there was no room, null while nothing is to be kept. */
  kept = null;
  shown = { colouring: 'amplitude', gain_db: 40, threshold_percent: 0, pass: null, leg: null, depth_mm: null };
  cursor = { y_mm: 0, offset_mm: 0, depth_mm: 0 };
  /** What the cursor is on, and what is read there. */
  place = null;
  reading = null;
  frame_at = { pass: 0, line: 0 };

  constructor(link, session) {
    super();
    this.#link = link;
    this.#session = session;
    link.addEventListener(TO_PAGE.RECORDING, ({ detail }) => this.#told(detail));
    session.addEventListener('open', () => this.#recall());
  }

  get lines() { return this.about?.passes.reduce((sum, { lines, missing }) => sum + lines - missing.length, 0) ?? 0; }
  get any() { return this.lines > 0; }
  get busy() { return this.progress !== null || this.by_hand; }

  #say(what = 'change') { this.dispatchEvent(new Event(what)); }
  #ask(what, values) { return this.#link.scan(what, values); }

  /** Runs the probe along the weld; resolves when it is done or was stopped. */
  async run(wish) {
    this.progress = { done: 0, all: 0, elapsed_ms: 0 };
    this.#say();
    try {
      return await this.#ask(SCAN.RUN, { wish, t_ms: this.#session.t_ms });
    } finally {
      this.progress = null;
      await this.#settle();
    }
  }

  /** From now on lines are taken as the probe is moved. */
  async byHand(wish) {
    this.#take(await this.#ask(SCAN.HAND, { wish, from_mm: this.#session.pose.y_mm }));
    this.by_hand = true;
    this.#session.change();
    this.#say('passes');
    this.#say();
  }

  async stop() {
    await this.#ask(SCAN.STOP);
    if (!this.by_hand) return;
    this.by_hand = false;
    await this.#settle();
  }

  async #settle() {
    await this.#refresh();
    this.#say('passes');
    if (this.any && !this.place) await this.toHighest();
    else this.#say();
    await this.keep();
  }

  #take(about) {
    this.about = about && { ...about, passes: about.passes.map(({ course, missing }) => ({ ...course, missing })) };
  }

  async #refresh() {
    const fresh = !this.about;
    this.#take(await this.#ask(SCAN.ABOUT));
    if (fresh && this.about) this.shown.gain_db = this.about.gain_db;
  }

  async #told({ pass, line, pose, by_hand, ...progress }) {
    if (!by_hand && !this.progress) return;
    this.frame_at = { pass, line };
    if (!by_hand) {
      this.progress = progress;
      // The probe on the drawing runs along.
      this.#session.move({ side: pose.side, index_offset_mm: pose.index_offset_mm, y_mm: pose.y_mm, skew_deg: pose.skew_deg });
    }
    await this.#refresh();
    this.#say('lines');
    this.#say();
  }

  /** Chooses what is shown: colouring, gain, threshold, pass, leg. */
  async show(part) {
    const before = this.shown;
    this.shown = { ...before, ...part };
    this.shown.gain_db = clamp(this.shown.gain_db, 0, 110);
    this.shown.threshold_percent = clamp(this.shown.threshold_percent, 0, 100);
    if (['pass', 'leg', 'depth_mm'].some((name) => this.shown[name] !== before[name])) await this.#ask(SCAN.SELECT, { selection: this.selection() });
    await this.#look();
    this.#say('passes');
  }

  /** What part of the recording is shown. */
  selection(more = {}) {
    const beside = 1.5 * this.about.setting.thickness_mm;
    return { offset_mm: [-beside, beside], pass: this.shown.pass, leg: this.shown.leg, depth_mm: this.shown.depth_mm, ...more };
  }

  paint(projection) {
    const { colouring, gain_db, threshold_percent } = this.shown;
    return this.#ask(SCAN.VIEW, { projection, colouring, gain_db, threshold_percent });
  }

  paintFrame() {
    return this.#ask(SCAN.SECTOR, { ...this.frame_at, gain_db: this.shown.gain_db, leg: this.shown.leg });
  }

  curve(way, within, drop_db) {
    return this.#ask(SCAN.CURVE, { way, within, drop_db, gain_db: this.shown.gain_db });
  }

  /** Moves the cursor in one view: to a place across and down, mm. */
  async moveCursor(projection, across_mm, down_mm) {
    const [across, down] = WAYS[projection];
    const { length_mm, thickness_mm } = this.about.setting;
    const most = { y_mm: [0, length_mm], offset_mm: [-1.5 * thickness_mm, 1.5 * thickness_mm], depth_mm: [0, thickness_mm] };
    this.cursor = { ...this.cursor, [across]: clamp(across_mm, ...most[across]), [down]: clamp(down_mm, ...most[down]) };
    const looking = ++this.#looking;
    const place = await this.#ask(SCAN.PLACE, { projection, across_mm: this.cursor[across], down_mm: this.cursor[down] });
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
    const place = await this.#ask(SCAN.HIGHEST);
    if (place) this.cursor = { y_mm: place.y_mm, offset_mm: place.offset_mm, depth_mm: place.depth_mm };
    await this.#on(place);
  }

  async #on(place) {
    this.place = place;
    if (place) this.frame_at = { pass: place.pass, line: place.line };
    else {
      const { start_mm, step_mm, lines } = this.about.passes[this.frame_at.pass];
      this.frame_at = { pass: this.frame_at.pass, line: clamp(Math.round((this.cursor.y_mm - start_mm) / step_mm), 0, lines - 1) };
    }
    await this.#look();
  }

  async #look() {
    const { place } = this;
    this.reading = place && await this.#ask(SCAN.READING, { pass: place.pass, line: place.line, beam: place.beam,
      path_mm: place.sound_path_mm, gain_db: this.shown.gain_db });
    this.#say();
  }

  /** Forgets the recording, so that a new one can begin. */
  async forget() {
    await this.#ask(SCAN.FORGET);
    this.about = this.place = this.reading = this.progress = this.kept = null;
    this.by_hand = false;
    this.shown = { ...this.shown, pass: null, leg: null, depth_mm: null };
    this.#say('passes');
    this.#say();
  }

  async keep() {
    if (!this.any || !this.#session.open) return;
    const id = this.#session.id;
    this.kept = await this.#ask(SCAN.KEEP, { id });
    this.#say();
  }

  async #recall() {
    await this.forget();
    const about = await this.#ask(SCAN.RECALL, { id: this.#session.id });
    if (!about) return;
    this.#take(about);
    this.shown.gain_db = about.gain_db;
    this.kept = true;
    this.#say('passes');
    await this.toHighest();
  }
}
