// Shares the tables of a set-up out among as many workers as the machine has cores for.

/** More of them would only want memory. */
const MOST = 3;
/** A maker that has not answered so long after one's own share was done is given up, ms; its share is made here then. */
const PATIENCE_MS = 5000;

/** Another worker. One that fails, or is not waited for any more, is ended and not asked again. */
class Maker {
  #worker = new Worker(new URL('table-maker.js', import.meta.url), { type: 'module' });
  #ended;
  /** Hears the share that is owed. */
  #done = null;

  constructor(module, ended) {
    this.#ended = ended;
    this.#worker.onmessage = ({ data }) => (data ? this.#answer(data) : this.end());
    this.#worker.onmessageerror = () => this.end();
    this.#worker.onerror = (event) => {
      // Nobody else needs to know.
      event.preventDefault();
      this.end();
    };
    this.#worker.postMessage({ module });
  }

  /** A share, or null. */
  share(wanted) {
    return new Promise((done) => {
      this.#done = done;
      this.#worker.postMessage(wanted);
    });
  }

  get owes() { return this.#done !== null; }

  end() {
    this.#worker.terminate();
    this.#ended(this);
    this.#answer(null);
  }

  #answer(bytes) {
    this.#done?.(bytes);
    this.#done = null;
  }
}

export class TableMakers {
  /** The change under way, or the last. */
  busy = Promise.resolve();
  #module;
  #makers = null;

  /** `module` is the simulation program. */
  constructor(module) {
    this.#module = module;
  }

  /** Starts the makers beforehand, so that the first change does not wait for them. */
  start() {
    if (this.#makers) return;
    this.#makers = new Set();
    const count = Math.min(MOST, (navigator.hardwareConcurrency ?? 1) - 1);
    try {
      while (this.#makers.size < count) this.#makers.add(new Maker(this.#module, (maker) => this.#makers.delete(maker)));
    } catch {
      // A browser that lets no worker start others.
    }
  }

  /** Changes the set-up of a bench, which has to stay until `busy` is done. */
  change(bench, t_ms, set_up) {
    const change = this.#make(bench, set_up).then(() => {
      const changed = JSON.parse(bench.change_set_up(t_ms, set_up));
      return { changed, about: JSON.parse(bench.about()) };
    });
    this.busy = change.catch(() => {});
    return change;
  }

  /** Makes the tables of a set-up as far as others can make them; the rest the bench makes when it takes the set-up up. */
  async #make(bench, set_up) {
    this.start();
    const makers = [...this.#makers];
    const count = makers.length + 1;
    const order = count > 1 ? bench.order_tables(set_up) : [];
    if (!order.length) return;
    const shares = makers.map((maker, i) => maker.share({ order, index: i + 1, count }));
    bench.make_share(0, count);
    const late = setTimeout(() => {
      for (const maker of makers) if (maker.owes) maker.end();
    }, PATIENCE_MS);
    for (const bytes of await Promise.all(shares)) if (bytes) bench.take_share(bytes);
    clearTimeout(late);
  }
}
