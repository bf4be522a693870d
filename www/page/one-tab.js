// One tab writes an attempt. Whoever holds its lock keeps it; another tab may look on, or ask for it and go on from what was kept.

const CHANNEL = 'trialplate-attempts';
/** How long the other tab has to put away its work before it is taken from it, ms. */
const PATIENCE_MS = 3000;

export class OneTab {
  #channel = 'BroadcastChannel' in globalThis ? new BroadcastChannel(CHANNEL) : null;
  #release = null;
  #id = null;
  /** Whether this tab may write what is open. */
  mine = true;

  /** `putAway()` saves what is open here; `lost()` is told when another tab went on with it. */
  constructor({ putAway, lost }) {
    this.lost = lost;
    this.#channel?.addEventListener('message', async ({ data }) => {
      if (data?.wanted !== this.#id || !this.mine) return;
      await putAway();
      this.#lose();
    });
  }

  /** Takes an attempt for writing, if no other tab has it. A browser without locks leaves the watch to the revisions of records. */
  async claim(id) {
    if (id === this.#id && this.mine) return;
    this.#letGo();
    this.#id = id;
    this.mine = true;
    if (navigator.locks) await this.#hold(id, { ifAvailable: true });
  }

  /** Asks the other tab for the attempt; when it does not answer, takes it. */
  async takeOver(id) {
    this.#id = id;
    this.#channel?.postMessage({ wanted: id });
    if (navigator.locks) {
      await this.#hold(id, { signal: AbortSignal.timeout(PATIENCE_MS) }).catch(() => this.#hold(id, { steal: true }));
    }
    this.mine = true;
  }

  /** Another tab wrote this attempt meanwhile. */
  overtaken() { this.#lose(); }

  #lose() {
    this.#letGo();
    this.mine = false;
    this.lost();
  }

  #letGo() {
    this.#release?.();
    this.#release = null;
  }

  /** Resolves when the lock is held or, with `ifAvailable`, is not to be had. */
  #hold(id, how) {
    return new Promise((resolve, reject) => {
      let held = false;
      navigator.locks.request(`trialplate-attempt-${id}`, how, (lock) => {
        this.mine = Boolean(lock);
        held = this.mine;
        resolve();
        return lock && new Promise((release) => { this.#release = release; });
      }).catch((error) => {
        // Taken from this tab, or not to be had in time.
        if (held && this.#id === id && this.mine) this.#lose();
        else reject(error);
      });
    });
  }
}
