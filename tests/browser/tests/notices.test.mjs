// A notice lies over the foot of the page and over nothing else, moves nothing, and what has the focus is never under it.
import assert from 'node:assert/strict';
import { KIND, notInFirefox } from '../harness/browser.mjs';
import { address, journey } from '../harness/journey.mjs';
import { press, settled } from '../harness/person.mjs';

const PHONE = { width: 360, height: 740 };
const TABLET = { width: 820, height: 1180 };
const WIDE = { width: 1440, height: 900 };

/** What a notice must leave free, and everything that is read or pressed besides. */
const WORK = '.plan-drawing, .section-stage, .trace-drawing, .reading, .coach, .dock, .panels';
/** What notices at the bench say; errors and names of files, of any length, come elsewhere. */
const NOTICES = ['coach.handed_in', 'hand_in.marking', 'notice.called', 'notice.empty_gate', 'notice.no_call', 'notice.no_echo', 'notice.swapped',
  'notice.start_mm', 'notice.end_mm', 'record.finished', 'record.finished_part', 'record.hand.on', 'record.no_side', 'record.stopped', 'recorded.called',
  'recorded.silent', 'section.no_sound'];

async function open(page, lang) {
  await page.goto(`${address}?lang=${lang}#bench?plate=th-07`);
  await page.waitForFunction(() => globalThis.trialplate?.times());
  await settled(page);
}

/** Those things, and what has the focus, that would be seen where the notice is. */
const under = (page, work) => page.evaluate((selector) => {
  const { left, top, width, height } = [...document.querySelectorAll('.toast')].find((one) => one.checkVisibility()).getBoundingClientRect();
  const covered = new Set();
  // A notice is no target of pointers: what is found at its points lies below it.
  for (let x = left + 1; x < left + width; x += 8) {
    for (let y = top + 1; y < top + height; y += 4) {
      const seen = document.elementFromPoint(x, y);
      const one = seen?.closest(selector) ?? (document.activeElement !== document.body && document.activeElement.contains(seen) ? document.activeElement : null);
      if (one) covered.add(one.getAttribute('class') ?? one.tagName);
    }
  }
  return [...covered];
}, work);

for (const [name, viewport] of Object.entries({ phone: PHONE, tablet: TABLET, wide: WIDE })) {
  for (const lang of ['en', 'es']) {
    journey(`a notice leaves all work free, ${name}, ${lang}`, async ({ page, picture }) => {
      await open(page, lang);
      await press(page, 'e', 'c');
      const notice = page.locator('.bench > .toast');
      await notice.waitFor();
      assert.deepEqual(await under(page, WORK), [], 'after a call');
      await picture(`notice ${name} ${lang}`);
      // The longest words that a notice has.
      const { TEXTS } = await import(new URL(`../../../www/page/texts.${lang}.js`, import.meta.url));
      for (const key of NOTICES) {
        const words = (TEXTS[key].other ?? TEXTS[key]).replaceAll(/\{[^}]*\}/g, '120,0 mm');
        await notice.evaluate((one, said) => {
          one.textContent = said;
          one.hidden = false;
        }, words);
        assert.deepEqual(await under(page, WORK), [], words);
      }
    }, { viewport, hasTouch: viewport !== WIDE });
  }
}

for (const [name, viewport] of Object.entries({ phone: PHONE, tablet: TABLET })) {
  journey(`nothing moves when a notice comes and goes, ${name}`, async ({ page }) => {
    await open(page, 'en');
    await page.evaluate(() => {
      globalThis.moved = 0;
      new PerformanceObserver((list) => list.getEntries().forEach(({ value }) => { globalThis.moved += value; })).observe({ type: 'layout-shift' });
    });
    await press(page, ']');
    const notice = page.getByText('There is no call yet');
    await notice.waitFor();
    await notice.waitFor({ state: 'hidden' });
    await settled(page);
    assert.equal(await page.evaluate(() => globalThis.moved), 0);
  }, { viewport, skip: notInFirefox('it does not tell what moved') });

  journey(`what has the focus is above the foot, ${name}`, async ({ page }) => {
    await open(page, 'en');
    let seen = 0;
    for (let i = 0; i < 60; i++) {
      await page.keyboard.press('Tab');
      const { tag, bottom, top, room } = await page.evaluate(() => {
        const box = document.activeElement.getBoundingClientRect();
        return { tag: document.activeElement.tagName, bottom: box.bottom, top: box.top, room: document.querySelector('.foot').getBoundingClientRect().top };
      });
      if (tag === 'BODY') continue;
      seen += 1;
      // Firefox scrolls only to what cannot be seen at all: some of a control may stay under the foot, less than half of it.
      const under = KIND === 'firefox' ? 0.5 * (bottom - top) : 0.5;
      assert.ok(bottom <= room + under && top < room, `${tag} ends at ${bottom} px, the foot begins at ${room}`);
    }
    assert.ok(seen > 30, `${seen} things had the focus`);
  }, { viewport, reducedMotion: 'reduce' });
}
