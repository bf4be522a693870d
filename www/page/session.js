// The session at the bench: what the hands hold, what the worker answered. Views read it and listen for 'change'.
import { ASK, TO_PAGE } from '../shared/messages.js';
import { Examined } from './examined.js';
import { BLANK, SheetEdits, filled, stepsTo } from './sheet-edits.js';
import { clamp, gateWithin, moved, tenth } from './hold.js';

export class Session extends EventTarget {
  #link;
  #base_ms = 0;
  #since = 0;
  edits = new SheetEdits();
  open = false;

  constructor(link) {
    super();
    this.#link = link;
    this.examined = new Examined(link);
    this.examined.addEventListener('examined', () => this.dispatchEvent(new Event('change')));
    link.addEventListener(TO_PAGE.FRAME, ({ detail }) => this.#take(detail));
  }

  /** Opens a source, from its log if there is one. A failure leaves the open session as it was. */
  async start(attempt) {
    const { about, outline, state, lesson, file } = await this.#link.open(attempt.source, attempt.log, attempt.passphrase);
    this.serial = (this.serial ?? 0) + 1;
    // A plate that was drawn keeps its file: it stays what it is, and is there at once the next time.
    this.source = file ? { ...attempt.source, bytes: file } : attempt.source;
    [this.id, this.started, this.rev] = [attempt.id, attempt.started, attempt.rev ?? 0];
    [this.about, this.outline, this.lesson] = [about, outline, lesson && { ...lesson, taken_up: Boolean(attempt.log) }];
    this.pose = state.pose;
    this.gain_db = state.gain_db;
    this.beam = state.beam;
    this.gate = state.gate;
    this.second_gate = state.second_gate;
    this.gate_points = state.gate_points;
    [this.rail, this.lifted] = [state.rail_mm !== null, state.lifted];
    this.view = 'folded';
    this.leg = null;
    this.sheet = filled(state.sheet);
    this.handed_in = null;
    this.truth = false;
    this.frame = null;
    this.examined.forget();
    // The clock of an exam runs on while the page is closed.
    this.#base_ms = about.exam ? Math.max(state.t_ms, Date.now() - attempt.started) : state.t_ms;
    this.#since = performance.now();
    this.edits.begin(attempt.edits, this.sheet);
    this.open = true;
    if (state.handed_in) this.handed_in = await this.#link.ask(ASK.HAND_IN, { t_ms: this.t_ms });
    this.dispatchEvent(new Event('open'));
    this.change();
  }

  /** Time since the session began, ms. */
  get t_ms() {
    return Math.round(this.#base_ms + performance.now() - this.#since);
  }

  /** Time left of what the procedure allows, ms; negative when it is over. */
  get left_ms() { return this.about.procedure.time_minutes * 60_000 - this.t_ms; }

  /** Height of an echo at the recording level with the present gain, % of full screen height. */
  recordingPercent() {
    const { recording_level_db: level, reference_gain_db: reference } = this.about.procedure;
    return 80 * 10 ** ((level + this.gain_db - reference) / 20);
  }

  /** Moves the probe; what is not named stays. */
  move(part) {
    this.pose = moved(this, part);
    this.change();
  }

  /** Sets gain, beam, gate parts, the second gate (null for none), where the gates read, guide rail, lift-off, view or leg. */
  adjust({ gain_db = this.gain_db, beam = this.beam, gate = {}, second_gate = this.second_gate, gate_points = this.gate_points,
    rail = this.rail, lifted = this.lifted, view = this.view, leg = this.leg }) {
    const { range_mm } = this.about.procedure;
    this.gain_db = tenth(clamp(gain_db, 0, 90));
    this.beam = clamp(Math.round(beam), 0, this.about.beams.length - 1);
    this.gate = gateWithin({ ...this.gate, ...gate }, range_mm);
    this.second_gate = second_gate && gateWithin(second_gate, range_mm);
    [this.gate_points, this.rail, this.lifted, this.view, this.leg] = [gate_points, rail, lifted, view, leg];
    this.change();
  }

  /** Puts the beam and the gate on a place of the frame. */
  gateOn(spot) {
    const length_mm = clamp(this.gate.length_mm, 3, 12);
    this.adjust({ beam: spot.beam, gate: { length_mm, start_mm: spot.sound_path_mm - length_mm / 2 } });
  }

  /** Something in the hands changed: wants a frame of it. */
  change() {
    if (!this.open) return;
    const { t_ms, pose, gain_db, beam, gate, second_gate, gate_points, rail, lifted, view, leg } = this;
    this.#link.want({ t_ms, pose, gain_db, beam, gate, second_gate, gate_points, rail, lifted, view, leg });
    this.dispatchEvent(new Event('change'));
  }

  /** Asks about the recorded scan. */
  scan(what, values) { return this.#link.scan(what, values); }

  echoes(threshold_percent, limit) { return this.#link.ask(ASK.ECHOES, { threshold_percent, limit }); }
  setUpSheet() { return this.#link.ask(ASK.SET_UP_SHEET); }
  calibrate(call, values = {}) { return this.#link.ask(ASK.CALIBRATION, { call, t_ms: this.t_ms, ...values }); }
  scanPlan(wish) { return this.#link.ask(ASK.SCAN_PLAN, { wish }); }

  /** Takes up another set-up. What was read with the one before is of its beams, and these are gone. */
  refit(about, beam) {
    [this.about, this.beam] = [about, Math.min(beam, about.beams.length - 1)];
    if (this.frame) Object.assign(this.frame, { reading: null, second_reading: null });
  }

  /** Asks for another set-up; resolves with the one in use then and what is wrong with the wanted one. */
  async changeSetUp(set_up) {
    const { about, changed } = await this.#link.alter(ASK.CHANGE_SET_UP, { set_up, t_ms: this.t_ms });
    this.refit(about, changed.beam);
    this.adjust({});
    return changed;
  }

  spotAt(offset_mm, depth_mm) {
    return this.#link.ask(ASK.SPOT, { offset_mm, depth_mm, leg: this.leg });
  }

  /** What is in the gate as a call, or null. */
  fromGate() { return this.#link.ask(ASK.PREFILL); }

  /** Adds a call with these parts filled in; resolves with its index. */
  async addCall(part) {
    await this.#edit(ASK.ADD_CALL, { call: { ...BLANK, ...part } });
    return this.sheet.calls.length - 1;
  }

  /** Changes a call; `set` names the one end that was set on purpose, else those that differ were. */
  editCall(index, call, set = null) { return this.#edit(ASK.EDIT_CALL, { index, call, set }); }
  removeCall(index) { return this.#edit(ASK.REMOVE_CALL, { index }); }
  declareClean(on) { return this.#edit(ASK.NO_INDICATION, { on }); }

  /** The answers of a file in place of those on the sheet. */
  takeAnswers(name, bytes) { return this.#edit(ASK.TAKE_ANSWERS, { name, bytes }); }

  get canUndo() { return this.edits.canUndo && !this.handed_in; }
  get canRedo() { return this.edits.canRedo && !this.handed_in; }
  /** Takes back the last edit of the answer sheet. */
  undo() { return this.canUndo && this.#goTo(this.edits.undo(this.sheet), 'undo'); }
  /** Does again what was taken back last. */
  redo() { return this.canRedo && this.#goTo(this.edits.redo(this.sheet), 'redo'); }

  async #goTo(target, way) {
    for (const [what, values] of stepsTo(this.sheet, target)) await this.#apply(what, values);
    this.dispatchEvent(new Event(way));
  }

  async #edit(what, values) {
    const before = this.sheet;
    await this.#apply(what, values, () => this.edits.before(before, what, values, this.sheet));
  }

  async #apply(what, values, done = () => {}) {
    this.sheet = filled(await this.#link.ask(what, { ...values, t_ms: this.t_ms }));
    done();
    this.dispatchEvent(new Event('sheet'));
    this.dispatchEvent(new Event('change'));
  }

  /** What is unlikely on the sheet, in sentences. */
  doubts() { return this.#link.ask(ASK.DOUBTS); }

  async handIn() {
    this.handed_in = await this.#link.ask(ASK.HAND_IN, { t_ms: this.t_ms });
    this.dispatchEvent(new Event('sheet'));
  }

  handInFile() { return this.#link.ask(ASK.HAND_IN_FILE, { name: this.sitter ?? '' }); }
  log() { return this.#link.ask(ASK.LOG); }
  answers() { return this.#link.ask(ASK.ANSWERS); }
  answersTable() { return this.#link.ask(ASK.ANSWERS_TABLE); }
  report(reader) { return this.#link.ask(ASK.REPORT, { reader, name: this.sitter ?? '' }); }
  /** What a call was made from, as a drawing; null where it cannot be told. */
  shot(index) { return this.#link.ask(ASK.SHOT, { index }); }
  flawSides(flaw) { return this.#link.ask(ASK.FLAW_SIDES, { flaw }); }
  blankSheet(rows) { return this.#link.ask(ASK.BLANK_SHEET, { rows }); }

  #take(frame) {
    const { picture, trace } = this.frame ?? {};
    if (picture) this.#link.giveBack(picture.buffer, trace.buffer);
    this.frame = frame;
    if (!this.handed_in) this.examined.changed();
    this.dispatchEvent(new Event('frame'));
  }
}
