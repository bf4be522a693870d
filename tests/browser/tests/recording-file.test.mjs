// A recorded scan as a file: saved, opened again, refused where it is broken.
import assert from 'node:assert/strict';
import { readFile } from 'node:fs/promises';
import { journey } from '../harness/journey.mjs';
import { choosePlate } from '../harness/person.mjs';

async function recorded(page, to_mm) {
  await page.getByRole('tab', { name: 'Recording' }).press('Enter');
  const panel = page.getByRole('tabpanel', { name: 'Recording' });
  await panel.getByLabel('To', { exact: true }).fill(String(to_mm));
  await panel.getByLabel('To', { exact: true }).press('Enter');
  await panel.getByRole('button', { name: 'Record along the weld' }).press('Enter');
  await page.getByText(/lines recorded in/).waitFor({ timeout: 60_000 });
  await page.getByText(/Heard in pass/).waitFor();
  return panel;
}

async function savedBy(page, button) {
  const [download] = await Promise.all([page.waitForEvent('download'), button.press('Enter')]);
  return { name: download.suggestedFilename(), buffer: await readFile(await download.path()) };
}

journey('a recording is saved as a file and opened again', async ({ page }) => {
  await choosePlate(page, 'TH-07 · 20 mm, single V');
  const panel = await recorded(page, 20);
  const pass = await panel.getByText(/^Pass 1/).innerText();
  const heard = await page.getByText(/Heard in pass/).innerText();
  const saved = await savedBy(page, panel.getByRole('button', { name: 'Save the recording (.npz)' }));
  assert.equal(saved.name, 'TH-07-recording.npz');

  await panel.getByRole('button', { name: 'New recording' }).press('Enter');
  await panel.getByText(/^Pass 1/).waitFor({ state: 'detached' });
  const choose = panel.getByLabel('Choose a recording (.npz)');
  const file = (buffer) => ({ name: saved.name, mimeType: 'application/zip', buffer });
  await choose.setInputFiles(file(saved.buffer));
  await panel.getByText(`Opened ${saved.name}.`).waitFor();
  assert.equal(await panel.getByText(/^Pass 1/).innerText(), pass);
  await page.getByText(heard).waitFor();
  // The same recording gives the same bytes.
  const again = await savedBy(page, panel.getByRole('button', { name: 'Save the recording (.npz)' }));
  assert.ok(again.buffer.equals(saved.buffer));

  // A broken one is refused with a sentence, and what is open stays.
  const broken = Buffer.from(saved.buffer);
  broken.write('metadota', broken.indexOf('metadata'));
  broken.write('metadota', broken.lastIndexOf('metadata'));
  await choose.setInputFiles(file(broken));
  await panel.getByText(/cannot be opened\..*metadata\.json: is missing, expected/).waitFor();
  assert.equal(await panel.getByText(/^Pass 1/).innerText(), pass);
});

journey('a browser without room says so, and the file can be saved', async ({ page }) => {
  await page.route('**/worker/worker.js', async (route) => {
    const answer = await route.fetch();
    const source = await answer.text();
    const body = source.replace(/\w+\.put\(\{ ?id[^)]*\)/, "(() => { throw new DOMException('full', 'QuotaExceededError'); })()");
    assert.notEqual(body, source);
    await route.fulfill({ response: answer, body });
  });
  await choosePlate(page, 'TH-07 · 20 mm, single V');
  const panel = await recorded(page, 5);
  await panel.getByText(/no room for the recording.*Save it as a file/).waitFor();
  const { buffer } = await savedBy(page, panel.getByRole('button', { name: 'Save the recording (.npz)' }));
  assert.equal(buffer.toString('latin1', 0, 2), 'PK');
});
