// The words that pass between the page and its worker. Lengths are mm, gains dB, angles degrees, times ms.

/** Page to worker. */
export const TO_WORKER = Object.freeze({
  /** {words}: what the reader's language says by key; before anything else. */
  WORDS: 'words',
  /** {request, source, log?}: open a plate, or reopen it from its log. Answered. */
  OPEN: 'open',
  /** {setup, serial, spare}: the newest set-up for the plate that request `serial` opened; answered by one FRAME. */
  SETUP: 'setup',
  /** {request, source}: look at a plate before it is handed out; another one ends the one under way. Answered; null when ended. */
  LOOK: 'look',
  /** {request, what, values}: one of BOARD. Answered. */
  BOARD: 'board',
  /** {request, what, values}: one of EXAM. Answered. */
  EXAM: 'exam',
  /** {request, what, values}: one of ASK. Answered. */
  ASK: 'ask',
  /** {request, what, values}: one of SCAN. Answered. */
  SCAN: 'scan',
});

/** Worker to page. */
export const TO_PAGE = Object.freeze({
  /** {loaded_bytes, total_bytes} while the program loads. */
  PROGRESS: 'progress',
  /** {share}: so much of a plate was looked at, 0 to 1. */
  LOOKED: 'looked',
  /** {version}: the program is ready. */
  READY: 'ready',
  /** {setup, picture, trace, reading, times_ms}, its buffers with it; or {passed_over} when the plate has changed. */
  FRAME: 'frame',
  /** {share}: so much of an exam is recorded, 0 to 1. */
  MAKING: 'making',
  /** {pass, line, pose, done, all, elapsed_ms}: lines of a recording are being taken. */
  RECORDING: 'recording',
  /** {request, value} or {request, error}. */
  ANSWER: 'answer',
  /** {}: this browser computes to other bits than every other. */
  WRONG_BITS: 'wrong_bits',
  /** {message}: the program stopped; the worker is of no use any more. */
  STOPPED: 'stopped',
});

/** What can be asked of an open plate. */
export const ASK = Object.freeze({
  ECHOES: 'echoes',
  SPOT: 'spot',
  PREFILL: 'prefill',
  ADD_CALL: 'add_call',
  EDIT_CALL: 'edit_call',
  REMOVE_CALL: 'remove_call',
  NO_INDICATION: 'no_indication',
  DOUBTS: 'doubts',
  EXAMINED: 'examined',
  HAND_IN: 'hand_in',
  REPLAY: 'replay',
  HAND_IN_FILE: 'hand_in_file',
  LOG: 'log',
  ANSWERS: 'answers',
  /** {name, bytes, t_ms}: the answers of a file take the place of those on the sheet; the sheet. */
  TAKE_ANSWERS: 'take_answers',
  ANSWERS_TABLE: 'answers_table',
  /** {rows}: a blank answer sheet to print. */
  BLANK_SHEET: 'blank_sheet',
  /** {reader, name}: a report as an HTML file, after handing in. */
  REPORT: 'report',
  /** {index}: what a call was made from, as a drawing; null where it was written by hand. */
  SHOT: 'shot',
  /** {flaw}: a flaw from each side at its best, as drawings; none before the truth is out. */
  FLAW_SIDES: 'flaw_sides',
  DIGEST: 'digest',
  SET_UP_SHEET: 'set_up_sheet',
  CHANGE_SET_UP: 'change_set_up',
  SCAN_PLAN: 'scan_plan',
  CALIBRATION: 'calibration',
  /** {next}: how the lesson stands; `next` goes on to the next step before. */
  LESSON: 'lesson',
});

/** What can be asked of the recorded scan. */
export const SCAN = Object.freeze({
  /** Forgets the recording. */
  FORGET: 'forget',
  /** {id}: keeps the recording in the browser beside an attempt; false where there is no room. */
  KEEP: 'keep',
  /** {id}: takes up what was kept beside an attempt; null where nothing was. */
  RECALL: 'recall',
  /** The recording as an .npz file; null where there is none. */
  SAVE: 'save',
  /** {file}: takes up an .npz file in place of what was recorded; one that cannot be read leaves it as it was. */
  LOAD: 'load',
  ABOUT: 'about',
  /** {wish, t_ms}: the probe runs along the weld; answered when it is done or stopped. */
  RUN: 'run',
  /** {wish, t_ms}: from now on lines are taken as the probe is moved by hand. */
  HAND: 'hand',
  /** Ends either. */
  STOP: 'stop',
  SELECT: 'select',
  VIEW: 'view',
  SECTOR: 'sector',
  PLACE: 'place',
  HIGHEST: 'highest',
  READING: 'reading',
  /** {pass, line, beam, gate, gain_db}: what a gate reads on a recorded beam. */
  GATE: 'gate',
  TRACE: 'trace',
  CURVE: 'curve',
  DROP: 'drop',
});

/** What can be asked about exams, whatever plate is open. */
export const EXAM = Object.freeze({
  /** {name, bytes}: what a sealed plate tells; null for another file. */
  TERMS: 'terms',
  /** {name, bytes, instructor, sitting, help, debrief}: the plate file, sealed. */
  SEAL: 'seal',
  /** {name, bytes, passphrase}: begins to mark a class at a plate. */
  CLASS: 'class',
  /** {name, bytes}: marks one work of the class; its row. */
  WORK: 'work',
  /** {name, bytes, reader}: a report on a work of the class, as an HTML file. */
  WORK_REPORT: 'work_report',
  /** {}: the class in numbers, and its table. */
  CLASS_TOLD: 'class_told',
  /** {name, file}: the exam in a recording's file; null for a recording that is none. */
  RECORDED: 'recorded',
  /** {name, bytes, exam, rows, step_mm}: records a plate for an exam of that name; its file, or null when stopped. */
  MAKE: 'make',
  /** {}: ends that. */
  STOP: 'stop',
  /** {sittings}: what the plates sat so far tell. */
  PROGRESS: 'progress',
  /** {language}: the lessons in their order. */
  LESSONS: 'lessons',
});

/** What can be asked of the plate on the drawing board. */
export const BOARD = Object.freeze({
  /** {name, text}: lays a plate file on it; what to draw, or {problems}. */
  LAY: 'lay',
  /** {alone?, side, index_offset_mm, y_mm, gain_db, beam}: picture and trace, of everything or one flaw alone. */
  SCAN: 'scan',
  /** {first}: looks for the echoes of one flaw from one side; {more, echoes}. */
  STEP: 'step',
  /** What each flaw shows, and whether the plate can be sat fairly. */
  TABLE: 'table',
  /** The plate file on the board, written out. */
  FILE: 'file',
  /** {text, edits}: a plate file after changes. */
  EDIT: 'edit',
  /** {preparation, seed}: a plate without flaws to begin with. */
  CLEAN: 'clean',
});
