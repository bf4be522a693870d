// The panels at the right of the bench, one at a time: a row of tabs, and the panel of the chosen one.
import { html, say, set } from './element.js';
import { text } from './text.js';

/** Panels by name, in order: [name, view]; `view.element` is shown, `view.update()` runs only while it is. */
export function panelsView(session, panels) {
  const names = panels.map(([name]) => name);
  let chosen = names[0];
  const tabs = panels.map(([name], index) => {
    const badge = html('span', { class: 'tab-badge' });
    const tab = html('button', { type: 'button', role: 'tab', id: `tab-${name}`, 'aria-controls': `panel-${name}`,
      'aria-keyshortcuts': String(index + 1), onclick: () => show(name), onkeydown: (event) => step(event, index) },
      text(`panel.${name}`), ' ', badge);
    return { tab, badge };
  });
  const rooms = panels.map(([name, view]) => html('div', { role: 'tabpanel', id: `panel-${name}`, class: 'panel',
    'aria-labelledby': `tab-${name}` }, view.element));
  const element = html('div', { class: 'panels' },
    html('div', { role: 'tablist', class: 'tabs', 'aria-label': text('panel.list') }, tabs.map(({ tab }) => tab)), rooms);

  function show(name) {
    chosen = name;
    names.forEach((other, i) => {
      const on = other === name;
      set(tabs[i].tab, { 'aria-selected': String(on), tabindex: on ? 0 : -1 });
      rooms[i].hidden = !on;
    });
    update();
  }

  /** Arrows go from tab to tab, as in any row of tabs. */
  function step(event, index) {
    const to = { ArrowLeft: index - 1, ArrowRight: index + 1, Home: 0, End: names.length - 1 }[event.key];
    if (to === undefined) return;
    event.preventDefault();
    event.stopPropagation();
    const at = (to + names.length) % names.length;
    show(names[at]);
    tabs[at].tab.focus();
  }

  function update() {
    if (session.open) panels[names.indexOf(chosen)][1].update();
  }

  show(chosen);
  return {
    element,
    update,
    show,
    /** The panel of a number key, from 1. Once more, and the keys go to it; they never stay in one that is shown no longer. */
    choose(n) {
      const name = names[n - 1];
      if (!name) return;
      const into = name === chosen || rooms.some((room) => room.contains(document.activeElement));
      show(name);
      if (into) tabs[n - 1].tab.focus();
    },
    /** A word or count beside the name of a tab, such as how many calls the sheet has. */
    badge: (name, words) => say(tabs[names.indexOf(name)].badge, words),
  };
}
