// Sealed plates, recorded exams and whole classes, beside whatever plate is open.
import { EXAM } from '../shared/messages.js';
import { make, stop } from './exam-recorder.js';
import { lessonList } from './lessons.js';
import { reported } from './shots.js';
import { ClassDesk, progress_told, recorded_exam, seal_plate, seal_random_bytes, sealed_terms } from '../wasm/page.js';

let desk = null;

/** `memory` is the program's, `words` are the reader's; `tell(share)` hears how far a recording is. */
export function exam(what, values, { memory, words }, tell) {
  const { name, bytes } = values;
  switch (what) {
    case EXAM.TERMS:
      return JSON.parse(sealed_terms(name, bytes) ?? 'null');
    case EXAM.SEAL: {
      const random = crypto.getRandomValues(new Uint8Array(seal_random_bytes()));
      return seal_plate(name, bytes, values.instructor, values.sitting, values.help, values.debrief, random);
    }
    case EXAM.CLASS: {
      const next = ClassDesk.new(name, bytes, values.passphrase);
      desk?.free();
      desk = next;
      return null;
    }
    case EXAM.WORK:
      return JSON.parse(desk.add(name, bytes));
    case EXAM.WORK_REPORT:
      return reported(desk.shots(name, bytes), memory, (shots, pictures) => desk.report(name, bytes, values.reader, words, shots, pictures));
    case EXAM.CLASS_TOLD:
      return JSON.parse(desk.finish(words));
    case EXAM.RECORDED:
      return recorded(values);
    case EXAM.MAKE:
      return make(values, words, tell);
    case EXAM.STOP:
      return stop();
    case EXAM.PROGRESS:
      return JSON.parse(progress_told(JSON.stringify(values.sittings)));
    case EXAM.LESSONS:
      return lessonList(values);
    default:
      throw new Error(what);
  }
}

async function recorded({ name, file }) {
  return JSON.parse(recorded_exam(name, new Uint8Array(await file.arrayBuffer())) ?? 'null');
}
