// What goes wrong in the bench app before any job is worked out: a request that is refused, a job that is, an empty folder.
import fs from 'node:fs';
import path from 'node:path';
import { ask_the_example, bench, close_pages, complaints, faults_for_people, fresh, screen, tidy } from './bench_page';
import { open_browser, project, serve } from './program';

beforeAll(async () => {
  bench.running = await serve('examples');
  bench.browser = await open_browser();
});
afterAll(async () => {
  await bench.browser?.close();
  expect(await bench.running.stop()).toBe(0);
});
afterEach(tidy);

test('a request that is wrong is refused at its key, and the answer before it pales', async () => {
  const { verbs } = await (await fetch(`${bench.running.address}api/verbs`)).json();
  const page = await fresh('wide', `#/ask/${verbs[0].word}`);
  await ask_the_example(page);
  const number = page.locator('.form input[inputmode=decimal]').first();
  await number.fill('a lot');
  await number.blur();
  await page.getByText('has changed since').waitFor();
  await page.getByRole('button', { name: 'Work it out' }).click();
  await page.locator('[role=alert]').getByText('a lot').first().waitFor();
  expect(await page.locator('.out .old').count()).toBe(1);
  complaints.splice(0); // the browser reports the refusal
});

test('a refused job and an empty bench are designed too', async () => {
  fs.mkdirSync(path.join(project, 'out'), { recursive: true });
  const folder = fs.mkdtempSync(path.join(project, 'out/', 'faulty-'));
  const ours = bench.running;
  try {
    fs.mkdirSync(path.join(folder, 'faulty'));
    bench.running = await serve(folder);
    let page = await fresh('tablet');
    await page.getByText('There is no job in this folder yet.').waitFor();
    await screen(page, 'no_jobs', 'tablet');
    expect(await faults_for_people(page)).toEqual([]);
    await close_pages();
    await bench.running.stop();
    fs.writeFileSync(path.join(folder, 'faulty/job.toml'), 'id = "faulty"\ntitel = "A job with faults"\n');
    bench.running = await serve(folder);
    page = await fresh('tablet');
    await page.getByText('titel').first().waitFor();
    await screen(page, 'faulty_job', 'tablet');
    expect(await faults_for_people(page)).toEqual([]);
    await page.getByRole('button', { name: /^Open/ }).click();
    await page.getByText('This job file has errors').waitFor();
    await screen(page, 'refused', 'tablet');
    expect(await faults_for_people(page)).toEqual([]);
    await close_pages();
    await bench.running.stop();
  } finally {
    bench.running = ours;
    fs.rmSync(folder, { recursive: true });
  }
});
