// Looks at plates before they are handed out, flaw by flaw, and lets everything else have its turn between two flaws.
import { PlateDesk } from '../wasm/page.js';

const pause = () => new Promise((resolve) => setTimeout(resolve, 0));

export class Surveyor {
  #tell;
  #run = 0;

  /** `tell(share)` hears how far it is. */
  constructor(tell) {
    this.#tell = tell;
  }

  /** Table, drawings and file of a plate; null when another was asked for meanwhile, or nothing, which only stops. */
  async look(source, file) {
    const run = ++this.#run;
    if (source.kind === 'nothing') return null;
    this.#tell(0);
    await pause();
    const desk = source.kind === 'practice'
      ? PlateDesk.drawn(source.preparation, source.level, source.seed) : PlateDesk.from_file(file.name, file.bytes);
    try {
      do {
        this.#tell(desk.share());
        await pause();
        if (run !== this.#run) return null;
      } while (desk.step());
      return JSON.parse(desk.finish());
    } finally {
      desk.free();
    }
  }
}
