// The plate on the drawing board, for flaw bench and plate maker: one question at a time.
import { BOARD } from '../shared/messages.js';
import { DrawingBoard, clean_plate, edited_plate } from '../wasm/page.js';

export class Board {
  #memory;
  #board = null;

  constructor(memory) {
    this.#memory = memory;
  }

  ask(what, values) {
    this.#board ??= new DrawingBoard();
    const board = this.#board;
    switch (what) {
      case BOARD.LAY:
        return JSON.parse(board.lay(values.name, values.text));
      case BOARD.SCAN:
        return this.#scan(board, values);
      case BOARD.STEP: {
        const more = board.step(values.first);
        return { more, echoes: JSON.parse(board.echoes()) };
      }
      case BOARD.TABLE:
        return JSON.parse(board.table());
      case BOARD.FILE:
        return board.file();
      case BOARD.EDIT:
        return edited_plate(values.text, JSON.stringify(values.edits));
      case BOARD.CLEAN:
        return clean_plate(values.preparation, values.seed);
      default:
        throw new Error(what);
    }
  }

  #scan(board, { alone, side, index_offset_mm, y_mm, gain_db, beam }) {
    board.scan(alone ?? undefined, side, index_offset_mm, y_mm, gain_db, beam);
    return {
      picture: { buffer: this.#copy(board.picture_pointer(), board.picture_length()), place: JSON.parse(board.picture_frame()) },
      trace: { buffer: this.#copy(board.trace_pointer(), board.trace_length() * Float32Array.BYTES_PER_ELEMENT),
        step_mm: board.trace_step_mm() },
    };
  }

  #copy(pointer, bytes) {
    return this.#memory.buffer.slice(pointer, pointer + bytes);
  }
}
