// The notice over every place: that work is not kept, or that another tab keeps it, and what can be done.
import { saveAttempt } from './attempt-file.js';
import { html } from './element.js';
import { button } from './fields.js';
import { KEPT, recall } from './store.js';
import { text } from './text.js';

/** `place` holds the notice; `open(attempt)` opens one. */
export function keptNotice(place, { session, attempts, open }) {
  let shown = null;
  const hidden = new Set();

  function clear(...names) {
    if (!names.includes(shown)) return;
    shown = null;
    place.replaceChildren();
  }

  /** Shows the words under `name` with what can be done: [label, press]. One that is there stays as it is. */
  function show(name, ...actions) {
    if (shown === name || hidden.has(name)) return;
    shown = name;
    place.replaceChildren(html('div', { class: 'kept-notice' }, html('p', {}, text(name)),
      html('div', { class: 'row' }, actions.map(([label, press]) => button({ label, press })))));
  }

  function understood(name) {
    hidden.add(name);
    clear(name);
  }

  // What is open is what was kept, and whoever holds its lock says so anew.
  session.addEventListener('open', () => clear('kept.elsewhere', 'kept.lost'));

  return {
    /** What became of saving: trouble is said at once, while the work can still be saved to a file. */
    told(what) {
      if (what === KEPT.YES) return clear('kept.full', 'kept.not');
      const save = ['kept.file', () => saveAttempt(session)];
      if (what === KEPT.FULL) show('kept.full', save, ['kept.again', () => attempts().keep()]);
      else show('kept.not', save, ['kept.understood', () => understood('kept.not')]);
    },

    /** Another tab has what is open here. */
    elsewhere(lost) {
      show(lost ? 'kept.lost' : 'kept.elsewhere', ['kept.here', async () => {
        await attempts().takeOver();
        open(await recall(session.id) ?? attempts().fresh(session.source));
      }], ['kept.anew', () => open(attempts().fresh(session.source))]);
    },

    /** Before an attempt is opened: what was kept of it since it was listed goes before the list. */
    async newest(attempt) {
      const record = attempt.rev ? await recall(attempt.id) : null;
      return record?.rev > attempt.rev ? record : attempt;
    },
  };
}
