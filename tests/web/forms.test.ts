// Forms say nothing for anybody: they open empty or from the job, keep what is typed, and never guess a number. No job
// has to be worked out for that.
import fs from 'node:fs';
import os from 'node:os';
import path from 'node:path';
import type { Browser, Page } from '../../web/node_modules/playwright-core';
import { axe_source, open_browser, project, serve, until, type Running } from './program';

let running: Running;
let browser: Browser;
let page: Page;
let folder: string;
const complaints: string[] = [];

beforeAll(async () => {
  folder = fs.mkdtempSync(path.join(os.tmpdir(), 'witnessline-'));
  fs.mkdirSync(path.join(folder, 'bench'));
  fs.writeFileSync(path.join(folder, 'bench/job.toml'), 'id = "bench"\n');
  running = await serve(folder);
  browser = await open_browser();
});
afterAll(async () => {
  await browser?.close();
  expect(await running.stop()).toBe(0);
  fs.rmSync(folder, { recursive: true });
});
beforeEach(async () => {
  const context = await browser.newContext({ viewport: { width: 1280, height: 800 } });
  page = await context.newPage();
  page.setDefaultTimeout(30_000);
  page.on('pageerror', (error) => complaints.push(error.message));
  page.on('console', (message) => {
    if (message.type() === 'error') complaints.push(message.text());
  });
});
afterEach(async () => {
  await page.context().close();
  expect(complaints.splice(0)).toEqual([]);
});

const open = (hash: string) => page.goto(running.address + hash);
const typed = () => page.locator('.form input[type=text], .form textarea').evaluateAll((all) => all.map((one) => (one as HTMLInputElement).value).filter(Boolean));
const number = () => page.locator('.form input[inputmode=decimal]').first();
const more_options = () => page.getByRole('button', { name: /^More options/ }).click();
async function look(name: string) {
  const screens = path.join(project, 'out/screens');
  fs.mkdirSync(screens, { recursive: true });
  await page.screenshot({ path: path.join(screens, `${name}.png`), fullPage: true });
  await page.evaluate(axe_source);
  const found: string[] = await page.evaluate(async () => {
    const { violations } = await (window as any).axe.run(document, { resultTypes: ['violations'] });
    return violations.flatMap((v: any) => v.nodes.map((n: any) => `${v.id}: ${n.target} ${n.failureSummary}`));
  });
  expect(found).toEqual([]);
}

test('a form opens empty and comes back as it was typed', async () => {
  await open('#/ask/dry');
  await more_options();
  expect(await typed()).toEqual([]);
  expect(await page.locator('.out .answer').count()).toBe(0);
  expect(await page.getByText('invented example', { exact: true }).count()).toBe(0);
  await look('form_empty');
  await number().fill('21,5');
  await number().blur();
  await page.reload();
  await until('what was typed', async () => (await typed()).join() === '21.5', 20);
  await page.getByRole('button', { name: 'Clear the form' }).click();
  await page.reload();
  await more_options();
  expect(await typed()).toEqual([]);
});

test('a number that can be read two ways is asked about', async () => {
  await open('#/ask/dry');
  await more_options();
  await number().fill('1,200');
  await number().blur();
  const question = page.getByRole('alert').filter({ hasText: 'what does' });
  await question.waitFor();
  expect(await question.getByRole('button').allInnerTexts()).toEqual(['1200', '1.2']);
  await look('form_unclear');
  await question.getByRole('button', { name: '1.2', exact: true }).click();
  await question.waitFor({ state: 'hidden' });
  expect(await typed()).toEqual(['1.2']);
});

test('the example is filled in only when it is asked for, and is marked', async () => {
  await open('#/ask/ventilate');
  await page.getByRole('button', { name: 'Fill in the example (invented)' }).click();
  await page.getByText('invented example', { exact: true }).waitFor();
  await page.getByRole('button', { name: 'Work it out' }).click();
  await page.locator('.out .answer').first().waitFor();
  await number().fill('7');
  await number().blur();
  await page.getByText('invented example', { exact: true }).waitFor({ state: 'hidden' });
});

test('a question asked from a job is about that job, and its form is kept apart', async () => {
  await open('#/ask/wear');
  await page.locator('.form').waitFor();
  expect(await typed()).toEqual([]);
  await open('#/job/bench/cut');
  await page.getByRole('button', { name: 'Ask', exact: true }).click();
  await page.getByRole('button', { name: 'Back to the job' }).waitFor();
  expect(page.url()).toContain('#/ask/wear?job=bench');
  await until('the job filled in', async () => (await typed()).includes('job.toml'), 20);
  await page.getByRole('button', { name: 'Back to the job' }).click();
  await page.getByRole('heading', { level: 1, name: /bench/ }).waitFor();
});
