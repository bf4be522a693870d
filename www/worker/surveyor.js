// Looks at plates before anybody sits them, flaw by flaw, and lets everything else have its turn between two flaws.
import { PlateDesk } from '../wasm/page.js';
import { turn } from './turn.js';

export class Surveyor {
  #tell;
  #run = 0;

  /** `tell(share)` hears how far it is. */
  constructor(tell) {
    this.#tell = tell;
  }

  /** Table, drawings and file of a plate, in the reader's `words`; null when another was asked for meanwhile, or nothing, which only stops. */
  async look(source, file, words) {
    const run = ++this.#run;
    if (source.kind === 'nothing') return null;
    return this.#through(source, file, () => run === this.#run, (desk) => JSON.parse(desk.finish(words)));
  }

  /** {bench, file}: a drawn plate on a bench, with its plate file; null when it is not `wanted()` any more. */
  drawn(source, wanted) {
    return this.#through(source, null, wanted, (desk) => ({ bench: desk.bench(), file: new TextEncoder().encode(desk.file()) }));
  }

  async #through(source, file, wanted, end) {
    this.#tell(0);
    await turn();
    const desk = source.kind === 'practice'
      ? PlateDesk.drawn(source.preparation, source.level, source.seed) : PlateDesk.from_file(file.name, file.bytes);
    try {
      do {
        this.#tell(desk.share());
        await turn();
        if (!wanted()) return null;
      } while (desk.step());
      return end(desk);
    } finally {
      desk.free();
    }
  }
}
