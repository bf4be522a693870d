// The recorded scan: what the worker holds of it, what is shown, where the cursor is. Views listen for 'change'.
import { SCAN, TO_PAGE } from '../shared/messages.js';
import { RecordedScan } from './recorded-scan.js';

export class Recording extends RecordedScan {
  #session;
  /** How far a run is, or null. */
  progress = null;
  by_hand = false;
  /** Whether the browser has a copy: true, false where there was no room, null while nothing is to be kept. */
  kept = null;
  constructor(link, session) {
    super((what, values) => link.scan(what, values));
    this.#session = session;
    link.addEventListener(TO_PAGE.RECORDING, ({ detail }) => this.#told(detail));
    session.addEventListener('open', () => this.#recall());
  }

  get busy() { return this.progress !== null || this.by_hand; }

  /** Runs the probe along the weld; resolves when it is done or was stopped. */
  async run(wish) {
    this.progress = { done: 0, all: 0, elapsed_ms: 0 };
    this.say();
    try {
      return await this.ask(SCAN.RUN, { wish, t_ms: this.#session.t_ms });
    } finally {
      this.progress = null;
      await this.#settle();
    }
  }

  /** From now on lines are taken as the probe is moved. */
  async byHand(wish) {
    this.take(await this.ask(SCAN.HAND, { wish, from_mm: this.#session.pose.y_mm }));
    this.by_hand = true;
    this.#session.change();
    this.say('passes');
    this.say();
  }

  async stop() {
    await this.ask(SCAN.STOP);
    if (!this.by_hand) return;
    this.by_hand = false;
    await this.#settle();
  }

  async #settle() {
    await this.#refresh();
    this.say('passes');
    if (this.any && !this.place) await this.toHighest();
    else this.say();
    await this.keep();
  }

  async #refresh() {
    const fresh = !this.about;
    this.take(await this.ask(SCAN.ABOUT));
    if (fresh && this.about) this.shown.gain_db = this.about.gain_db;
  }

  async #told({ pass, line, pose, by_hand, ...progress }) {
    if (!by_hand && !this.progress) return;
    this.frame_at = { pass, line };
    if (!by_hand) {
      this.progress = progress;
      // The probe on the drawing runs along.
      this.#session.move({ face: pose.face, side: pose.side, index_offset_mm: pose.index_offset_mm, y_mm: pose.y_mm, skew_deg: pose.skew_deg });
    }
    await this.#refresh();
    this.say('lines');
    this.say();
  }

  /** Forgets the recording, so that a new one can begin. */
  async forget() {
    await this.ask(SCAN.FORGET);
    this.about = this.place = this.reading = this.progress = this.kept = null;
    this.by_hand = false;
    this.shown = { ...this.shown, pass: null, leg: null, depth_mm: null, sound_path_mm: null };
    this.say('passes');
    this.say();
  }

  shows(about) {
    this.progress = this.kept = null;
    this.by_hand = false;
    super.shows(about);
  }

  async load(file) {
    await super.load(file);
    await this.keep();
  }

  async keep() {
    if (!this.any || !this.#session.open || this.#session.kept_elsewhere) return;
    const id = this.#session.id;
    this.kept = await this.ask(SCAN.KEEP, { id });
    this.say();
  }

  async #recall() {
    await this.forget();
    const about = await this.ask(SCAN.RECALL, { id: this.#session.id });
    if (!about) return;
    this.shows(about);
    this.kept = true;
    await this.toHighest();
  }
}
