// From any static host, in a sub-folder, without a network after the first visit, and on to a newer edition.
import assert from 'node:assert/strict';
import { test } from 'node:test';
import { host } from '../harness/host.mjs';
import { visit } from '../harness/journey.mjs';
import { firstPicture, press } from '../harness/person.mjs';

async function sat(page) {
  await page.getByRole('button', { name: 'Begin with the first plate' }).click();
  await firstPicture(page);
  await press(page, 'Shift+ArrowRight', 'e');
}

test('after the first visit a plate is scanned and handed in without a network', { timeout: 120_000 }, async () => {
  const school = await host();
  const { context, page } = await visit({ serviceWorkers: 'allow' }, school.address);
  try {
    await page.goto(school.address);
    await page.getByText('Works without a network from now on.').waitFor({ timeout: 60_000 });
    await school.close();
    await page.reload();
    await page.getByRole('heading', { level: 1, name: 'Trialplate' }).waitFor();
    await sat(page);
    await page.getByRole('button', { name: 'Hand in', exact: true }).click();
    await page.getByRole('button', { name: 'Hand in now' }).click();
    await page.getByRole('heading', { level: 1, name: /^Debrief/ }).waitFor();
    await page.goto(`${school.address}#bench?block=notch-block`);
    await firstPicture(page);
    for (const [file, title] of [['model.html', 'The model and its limits'], ['model.es.html', 'El modelo y sus límites']]) {
      await page.goto(`${school.address}${file}`);
      await page.getByRole('heading', { level: 1, name: title }).waitFor();
    }
    await page.getByRole('link', { name: 'Trialplate', exact: true }).click();
    await page.getByRole('button', { name: 'Empezar por la primera chapa' }).waitFor();
  } finally {
    await context.close();
    await school.close().catch(() => {});
  }
});

test('a newer edition is offered on the start page, never on the bench, and keeps what was done', { timeout: 120_000 }, async () => {
  const school = await host();
  const { context, page } = await visit({ serviceWorkers: 'allow' }, school.address);
  try {
    await page.goto(school.address);
    await page.getByText('Works without a network from now on.').waitFor({ timeout: 60_000 });
    // One word of the page and the worker's edition change, as a build would change them.
    school.edition((path, bytes) => {
      if (path === 'sw.js') return bytes.toString().replace(/const EDITION ?= ?['"]\w+['"]/, "const EDITION='newer'");
      if (path === 'page/main.js') return bytes.toString().replace(/(['"]start.title['"]: ?['"]Trialplate)/, '$1, newer');
      return bytes;
    });
    await page.reload();
    const offer = page.getByText('A newer edition of Trialplate is here.');
    await offer.waitFor({ timeout: 60_000 });
    await page.getByRole('heading', { level: 1, name: 'Trialplate', exact: true }).waitFor();
    await sat(page);
    assert.equal(await offer.isVisible(), false, 'nobody is asked while a plate is sat');
    await page.goto(`${school.address}#start`);
    await offer.waitFor();

    const other = await context.newPage();
    await other.goto(school.address);
    await other.getByRole('heading', { level: 1 }).waitFor();
    await page.getByRole('button', { name: 'Load it' }).click();
    await page.getByText('Trialplate is open in another tab or window.').waitFor();
    await other.close();
    await page.getByRole('button', { name: 'Load it' }).click();
    await page.getByRole('heading', { level: 1, name: 'Trialplate, newer' }).waitFor({ timeout: 60_000 });
    await page.getByRole('button', { name: /^Continue / }).waitFor();
  } finally {
    await context.close();
    await school.close().catch(() => {});
  }
});

test('a file lost on the way is asked for again', { timeout: 60_000 }, async () => {
  const school = await host();
  const { context, page } = await visit({ serviceWorkers: 'allow' }, school.address);
  let asked = 0;
  school.edition((path, bytes) => {
    if (path === 'model/holes.webp' && asked++ === 0) throw new Error('lost');
    return bytes;
  });
  try {
    await page.goto(school.address);
    await page.getByText('Works without a network from now on.').waitFor({ timeout: 40_000 });
    assert.equal(asked, 2);
  } finally {
    await context.close();
    await school.close().catch(() => {});
  }
});

test('a page that comes after its worker is ready keeps itself all the same', { timeout: 60_000 }, async () => {
  const school = await host();
  const { context, page } = await visit({ serviceWorkers: 'allow' }, school.address);
  try {
    // Long enough for the worker, which the page does not wait for.
    await page.route('**/page/main.js', async (route) => {
      await new Promise((resolve) => setTimeout(resolve, 5000));
      await route.continue();
    });
    await page.goto(school.address);
    await page.getByText('Works without a network from now on.').waitFor({ timeout: 30_000 });
  } finally {
    await context.close();
    await school.close().catch(() => {});
  }
});
