// Shares the tables of a set-up out among as many workers as the machine has cores for.

/** More of them would only want memory. */
const MOST = 3;
/** A maker that has not answered after this long is given up, ms; its share is made here then. */
const PATIENCE_MS = 5000;

export class TableMakers {
  /** What is under way. */
  busy = null;
  #module;
  #makers = null;
  #serial = 0;

  /** `module` is the simulation program. */
  constructor(module) {
    this.#module = module;
  }

  /** Starts the makers beforehand, so that the first change does not wait for them. */
  start() {
    if (this.#makers) return;
    const count = Math.min(MOST, (navigator.hardwareConcurrency ?? 1) - 1);
    this.#makers = Array.from({ length: count }, () => {
      const maker = new Worker(new URL('table-maker.js', import.meta.url), { type: 'module' });
      maker.postMessage({ module: this.#module });
      return maker;
    });
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
    const count = this.#makers.length + 1;
    const order = count > 1 ? bench.order_tables(set_up) : [];
    if (!order.length) return;
    const serial = ++this.#serial;
    const shares = this.#makers.map((maker, i) => this.#share(maker, { serial, order, index: i + 1, count }));
    bench.make_share(0, count);
    for (const bytes of await Promise.all(shares)) if (bytes) bench.take_share(bytes);
  }

  /** What a maker sends, or nothing from one that cannot; it is not asked again then. */
  #share(maker, wanted) {
    return new Promise((done) => {
      const giveUp = () => {
        maker.terminate();
        this.#makers = this.#makers.filter((one) => one !== maker);
        done();
      };
      const late = setTimeout(giveUp, PATIENCE_MS);
      maker.onerror = giveUp;
      maker.onmessage = ({ data: { serial, bytes } }) => {
        if (serial !== wanted.serial) return;
        clearTimeout(late);
        done(bytes);
      };
      maker.postMessage(wanted);
    });
  }
}
