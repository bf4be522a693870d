// Works without a network, installed or not: registers the service worker and offers newer editions, never during an exam.
import { html } from './element.js';
import { button } from './fields.js';
import { text } from './text.js';

/** Pause between two looks for a newer edition, ms. */
const PAUSE_MS = 30 * 60_000;
/** A first edition that could not be fetched whole is tried again so often, after so long, ms. */
const TRIES = 5;
const AGAIN_MS = 4000;

export class Offline {
  #registration = null;
  #waiting = null;
  #looked = 0;
  #watched = null;
  #tries = TRIES;
  #place;
  #where = 'start';
  /** `keep()` saves the open session before the page is loaded anew; `place` is where the offer stands. */
  constructor({ keep, place }) {
    this.keep = keep;
    this.#place = place;
  }

  /** Begins to keep the page; `ready()` is called when everything is there for the first time. */
  async begin(ready) {
    // Not over plain http, not in a private window of some browsers: the page works as well, with a network.
    const container = navigator.serviceWorker;
    if (!container || this.#registration) return;
    const first = !container.controller;
    await this.#register(container);
    if (!this.#registration) return;
    this.#looked = performance.now();
    if (first) container.addEventListener('controllerchange', () => ready(), { once: true });
    // A browser that knows the page looks by itself, but in its own time, and not always.
    else this.#registration.update().catch(() => {});
    if (this.#registration.waiting && container.controller) this.#offer(this.#registration.waiting);
  }

  async #register(container) {
    try {
      this.#registration = await container.register(new URL('../sw.js', import.meta.url), { updateViaCache: 'none' });
    } catch {
      return;
    }
    this.#registration?.addEventListener('updatefound', () => this.#watch(this.#registration.installing));
    this.#watch(this.#registration?.installing);
  }

  /** The page shows another place: the offer stands only where nothing is lost by it. */
  at(where) {
    this.#where = where;
    this.#draw();
    if (where !== 'start' || !this.#registration || performance.now() - this.#looked < PAUSE_MS) return;
    this.#looked = performance.now();
    this.#registration.update().catch(() => {});
  }

  #watch(worker) {
    // A first one is both found and there already.
    if (!worker || worker === this.#watched) return;
    this.#watched = worker;
    worker.addEventListener('statechange', () => {
      if (worker.state === 'installed' && navigator.serviceWorker.controller) this.#offer(worker);
      // One file lost on the way is enough to give up a whole edition, and the browser does not try again by itself.
      const lost = worker.state === 'redundant' && !this.#registration.active;
      if (lost && this.#tries-- > 0) setTimeout(() => this.#register(navigator.serviceWorker), AGAIN_MS);
    });
  }

  #offer(worker) {
    this.#waiting = worker;
    this.#draw();
  }

  #draw(words = text('newer.words')) {
    if (!this.#waiting || this.#where !== 'start') {
      this.#place.replaceChildren();
      return;
    }
    this.#place.replaceChildren(html('div', { class: 'newer' }, html('p', {}, words),
      button({ label: 'newer.load', press: () => this.#load() })));
  }

  async #load() {
    await this.keep();
    if ((await this.#ask('who is here')) > 0) return this.#draw(text('newer.others'));
    navigator.serviceWorker.addEventListener('controllerchange', () => location.reload(), { once: true });
    return this.#ask('take over');
  }

  /** Other pages that the waiting worker sees. */
  #ask(what) {
    const { port1, port2 } = new MessageChannel();
    return new Promise((resolve) => {
      port1.onmessage = ({ data }) => resolve(data.others);
      this.#waiting.postMessage(what, [port2]);
    });
  }
}
