// The words that pass between the page and its worker. Lengths are mm, gains dB, angles degrees, times ms.

/** Page to worker. */
export const TO_WORKER = Object.freeze({
  /** {request, source, log?}: open a plate, or reopen it from its log. Answered. */
  OPEN: 'open',
  /** {setup, serial, spare}: the newest set-up for the plate that request `serial` opened; answered by one FRAME. */
  SETUP: 'setup',
  /** {request, what, values}: one of ASK. Answered. */
  ASK: 'ask',
});

/** Worker to page. */
export const TO_PAGE = Object.freeze({
  /** {loaded_bytes, total_bytes} while the program loads. */
  PROGRESS: 'progress',
  /** {version}: the program is ready. */
  READY: 'ready',
  /** {setup, picture, trace, reading, times_ms}, its buffers with it; or {passed_over} when the plate has changed. */
  FRAME: 'frame',
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
  LOG: 'log',
  ANSWERS: 'answers',
  DIGEST: 'digest',
  SET_UP_SHEET: 'set_up_sheet',
  CHANGE_SET_UP: 'change_set_up',
  SCAN_PLAN: 'scan_plan',
});
