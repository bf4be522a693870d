// Owns the simulation: one open plate, one set-up, frames on demand.
import { ASK, TO_PAGE, TO_WORKER } from '../shared/messages.js';
import { Bench, Words, computes_rightly } from '../wasm/page.js';
import { calibration } from './calibration.js';
import { Board } from './drawing-board.js';
import { exam } from './exams.js';
import { Frames } from './frames.js';
import { lessonBench, lessonNow } from './lessons.js';
import { load } from './load.js';
import { plateFile } from './plate-file.js';
import { Recorder } from './recorder.js';
import { figure, reported, sides } from './shots.js';
import { Surveyor } from './surveyor.js';
import { TableMakers } from './table-makers.js';

let bench = null;
// The request that opened it: set-ups meant for another plate are passed over.
let opened = 0;
// The newest request to open one: what was asked for before it is not opened any more.
let wanted = 0;
let frames = null;
let memory = null;
// Those of the reader's language.
let words = null;
let panic = null;
let recorder = null;
let board = null;
let makers = null;
const surveyor = new Surveyor((share) => send(TO_PAGE.LOOKED, { share }));
// The browser is put to the test once, after the first frame: nobody should wait for it.
let tested = false;

// The program calls this when it must stop, just before it traps.
globalThis.trialplatePanicked = (message) => {
  panic = message;
};

const send = (type, content, transfer = []) => postMessage({ type, ...content }, transfer);

const loading = load((loaded_bytes, total_bytes) => send(TO_PAGE.PROGRESS, { loaded_bytes, total_bytes }));
loading.then(
  ({ memory: its, module, version }) => {
    [memory, makers, frames, board] = [its, new TableMakers(module), new Frames(its), new Board(its)];
    recorder = new Recorder(memory, () => bench, () => words, (content) => send(TO_PAGE.RECORDING, content));
    send(TO_PAGE.READY, { version });
  },
  (error) => send(TO_PAGE.STOPPED, { message: error.message, reason: error.reason ?? 'fail.start' }),
);

onmessage = async ({ data }) => {
  // The plate file and the program come side by side.
  const plate = [TO_WORKER.OPEN, TO_WORKER.LOOK].includes(data.type) ? plateFile(data.source) : null;
  plate?.catch(() => {});
  try {
    await loading;
  } catch {
    return;
  }
  try {
    if (data.type === TO_WORKER.WORDS) words = Words.of(data.words);
    else if (data.type === TO_WORKER.SETUP) {
      frame(data);
      testOnce();
    } else if (data.type === TO_WORKER.OPEN) await answer(data.request, () => open(data, plate));
    else if (data.type === TO_WORKER.LOOK) await answer(data.request, async () => surveyor.look(data.source, await plate, words));
    else if (data.type === TO_WORKER.BOARD) await answer(data.request, () => board.ask(data.what, data.values));
    else if (data.type === TO_WORKER.EXAM) await answer(data.request, () => exam(data.what, data.values, { memory, words }, (share) => send(TO_PAGE.MAKING, { share })));
    else if (data.type === TO_WORKER.SCAN) await answer(data.request, () => makers.busy.then(() => recorder.ask(data.what, data.values)));
    else if (data.type === TO_WORKER.ASK) await answer(data.request, () => makers.busy.then(() => ask(data.what, data.values)));
  } catch (error) {
    send(TO_PAGE.STOPPED, { message: panic ?? error.message, reason: 'fail.stopped' });
  }
};

function testOnce() {
  if (tested) return;
  tested = true;
  setTimeout(() => {
    if (!computes_rightly()) send(TO_PAGE.WRONG_BITS, {});
  }, 300);
}

async function answer(request, work) {
  try {
    const value = await work();
    // Pictures and files travel; everything else is copied.
    send(TO_PAGE.ANSWER, { request, value }, value?.buffer instanceof ArrayBuffer ? [value.buffer] : []);
  } catch (error) {
    if (error instanceof WebAssembly.RuntimeError) throw error;
    send(TO_PAGE.ANSWER, { request, error: { message: error.message, reason: error.reason ?? null } });
  }
}

async function open({ request, source, log, passphrase }, plate) {
  wanted = request;
  const { bench: next, lesson = null, file = null } = await benchOf(source, await plate, passphrase, () => wanted === request) ?? {};
  await makers.busy;
  if (wanted !== request) {
    next?.free();
    throw Object.assign(new Error('another plate is being opened'), { reason: 'overtaken' });
  }
  let restored = null;
  try {
    if (log) restored = JSON.parse(next.restore(log));
  } catch (error) {
    next.free();
    throw error;
  }
  // Only now: a plate that cannot be opened leaves the open one as it was.
  recorder.stop();
  bench?.free();
  bench = next;
  opened = request;
  return { lesson, file, about: JSON.parse(next.about()), outline: JSON.parse(next.outline()), state: restored ?? JSON.parse(next.state()) };
}

/** {bench} with what else came with it; null where it is not `wanted()` any more. */
async function benchOf(source, { name, bytes }, passphrase, wanted) {
  if (source.kind === 'lesson') return lessonBench(source);
  if (source.kind === 'sealed') return { bench: Bench.from_sealed(name, bytes, passphrase) };
  if (source.kind === 'recorded') return { bench: Bench.from_recorded_exam(source.name, new TextEncoder().encode(source.exam)) };
  // Looked at once; whoever comes back to it brings the file that was made then.
  if (source.kind === 'practice' && !bytes) return surveyor.drawn(source, wanted);
  return { bench: Bench.from_paper(name ?? 'plate', bytes) };
}

function frame({ setup, serial, spare }) {
  frames.giveBack(spare);
  if (!bench || serial !== opened) {
    send(TO_PAGE.FRAME, { passed_over: true });
    return;
  }
  recorder.slid(setup);
  const { content, transfer } = frames.make(bench, setup);
  send(TO_PAGE.FRAME, content, transfer);
}

function ask(what, values) {
  switch (what) {
    case ASK.ECHOES:
      return JSON.parse(bench.echoes(values.threshold_percent, values.limit));
    case ASK.SPOT:
      return JSON.parse(bench.spot_at(values.offset_mm, values.depth_mm, values.leg ?? undefined));
    case ASK.PREFILL:
      return JSON.parse(bench.call_from_gate());
    case ASK.ADD_CALL:
      return JSON.parse(bench.add_call(values.t_ms, JSON.stringify(values.call)));
    case ASK.EDIT_CALL:
      return JSON.parse(bench.edit_call(values.t_ms, values.index, JSON.stringify(values.call)));
    case ASK.REMOVE_CALL:
      return JSON.parse(bench.remove_call(values.t_ms, values.index));
    case ASK.NO_INDICATION:
      return JSON.parse(bench.set_no_recordable_indication(values.t_ms, values.on));
    case ASK.DOUBTS:
      return JSON.parse(bench.doubts());
    case ASK.EXAMINED:
      return JSON.parse(bench.examined());
    case ASK.HAND_IN:
      return JSON.parse(bench.hand_in(words, values.t_ms));
    case ASK.REPLAY: {
      const then = JSON.parse(bench.replay(values.t_ms));
      return then.changed ? { ...then, about: JSON.parse(bench.about()) } : then;
    }
    case ASK.HAND_IN_FILE:
      return bench.hand_in_file(values.name);
    case ASK.LOG:
      return bench.log();
    case ASK.ANSWERS:
      return bench.answers();
    case ASK.TAKE_ANSWERS:
      return JSON.parse(bench.take_answers(values.t_ms, values.name, values.bytes));
    case ASK.ANSWERS_TABLE:
      return bench.answers_table();
    case ASK.REPORT:
      return reported(bench.shots(), memory, (shots, pictures) => bench.report(values.reader, words, values.name, shots, pictures));
    case ASK.SHOT:
      return figure(bench, values.index, { memory, words });
    case ASK.FLAW_SIDES:
      return sides(bench, values.flaw, { memory, words });
    case ASK.BLANK_SHEET:
      return bench.blank_sheet(words, values.rows);
    case ASK.SET_UP_SHEET:
      makers.start();
      return JSON.parse(bench.set_up_sheet());
    case ASK.CHANGE_SET_UP:
      return makers.change(bench, values.t_ms, JSON.stringify(values.set_up));
    case ASK.SCAN_PLAN:
      return JSON.parse(bench.scan_plan(JSON.stringify(values.wish)));
    case ASK.LESSON:
      return lessonNow(bench, values);
    case ASK.CALIBRATION:
      return calibration(bench, values);
    case ASK.DIGEST:
      return bench.digest();
    default:
      throw new Error(what);
  }
}
