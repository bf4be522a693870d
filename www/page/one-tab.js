// One tab writes an attempt. Whoever holds its lock keeps it; another tab may look on, or ask for it and go on from what was kept.

const CHANNEL = 'trialplate-attempts';
/** How long the other tab has to put away its work before it is taken from it, ms. */
const PATIENCE_MS = 3000;
/** How long a page that is gone may still seem to hold the lock: after a reload, the page before it. */
const GRACE_MS = 300;

export class OneTab {
  #channel = 'BroadcastChannel' in globalThis ? new BroadcastChannel(CHANNEL) : null;
  #release = null;
  #id = null;
  /** Whether this tab may write what is open: the lock alone is not enough, what is open has to be what was kept. */
  mine = true;

  /** `putAway()` saves what is open here; `lost()` is told when another tab went on with it. */
  constructor({ putAway, lost }) {
    this.lost = lost;
    this.#channel?.addEventListener('message', async ({ data }) => {
      if (data?.wanted !== this.#id || !this.mine) return;
      await putAway();
      if (data.wanted === this.#id && this.mine) this.#lose();
    });
  }

  /** What is open now is this attempt: takes it for writing, if no other tab has it. A browser without locks leaves the watch to the
   * revisions of records. */
  async claim(id) {
    if (id !== this.#id || !this.#release) {
      this.#letGo();
      this.#id = id;
      this.mine = false;
      if (navigator.locks && !await this.#hold(id, { ifAvailable: true })) {
        await this.#hold(id, { signal: AbortSignal.timeout(GRACE_MS) }).catch(() => false);
      }
    }
    if (id === this.#id) this.mine = !navigator.locks || Boolean(this.#release);
  }

  /** Asks the other tab for the attempt; when it does not answer, takes it. Then it has to be opened from what was kept: until it
   * is claimed, nothing is written, for what this tab showed meanwhile is not the other's work. */
  async takeOver(id) {
    if (id === this.#id && this.#release) return;
    this.#id = id;
    this.#channel?.postMessage({ wanted: id });
    if (!navigator.locks) return;
    await this.#hold(id, { signal: AbortSignal.timeout(PATIENCE_MS) }).catch(() => this.#hold(id, { steal: true }));
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

  /** Resolves with whether the lock is held; rejects when it was not to be had in time. */
  #hold(id, how) {
    return new Promise((resolve, reject) => {
      let release = null;
      navigator.locks.request(`trialplate-attempt-${id}`, how, (lock) => {
        // Something else was opened while this was waited for.
        if (!lock || this.#id !== id) return resolve(false);
        return new Promise((let_go) => {
          [release, this.#release] = [let_go, let_go];
          resolve(true);
        });
      }).catch((error) => {
        reject(error);
        // Taken from this tab.
        if (!release || this.#release !== release) return;
        this.#release = null;
        if (this.mine) this.#lose();
      });
    });
  }
}
