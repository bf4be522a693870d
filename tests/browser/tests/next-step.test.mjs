// The next step is heard as well as seen: once for each step, not with each number that runs along.
import assert from 'node:assert/strict';
import { address, journey } from '../harness/journey.mjs';
import { press, settled } from '../harness/person.mjs';

for (const [lang, words] of [['en', { title: 'Next step', begin: /^Next step: Drag the blue probe/, on: /^Next step: Go on along side A/ }],
  ['es', { title: 'Siguiente paso', begin: /^Siguiente paso: Arrastra el palpador azul/, on: /^Siguiente paso: Sigue a lo largo del lado A/ }]]) {
  journey(`the next step is announced when it is another one, ${lang}`, async ({ page }) => {
    await page.goto(`${address}?lang=${lang}#bench?plate=th-07`);
    await page.waitForFunction(() => globalThis.trialplate?.times());
    await settled(page);
    const coach = page.getByRole('region', { name: words.title });
    const heard = coach.getByRole('status');
    await heard.filter({ hasText: words.begin }).waitFor();
    await heard.evaluate((one) => {
      globalThis.announced = [];
      new MutationObserver(() => globalThis.announced.push(one.textContent)).observe(one, { childList: true, characterData: true, subtree: true });
    });
    // The words seen follow every step of the probe; of what is heard there is one sentence.
    const seen = new Set();
    for (let i = 0; i < 8; i++) {
      await press(page, 'Shift+ArrowRight');
      await page.waitForTimeout(450);
      seen.add(await coach.locator('.coach-words').innerText());
    }
    await heard.filter({ hasText: words.on }).waitFor();
    await page.waitForTimeout(1700);
    const announced = await page.evaluate(() => globalThis.announced);
    assert.ok(seen.size > 2, [...seen].join('\n'));
    assert.equal(announced.length, 1, announced.join('\n'));
  });
}
