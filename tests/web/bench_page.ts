// A page of the bench app as the tests use it: opened at a size, tapped, pictured, and looked over for people's sake.
import fs from 'node:fs';
import path from 'node:path';
import type { Browser, Page } from '../../web/node_modules/playwright-core';
import { axe_source, project, type Running } from './program';

export const sizes = { wide: { width: 1280, height: 800 }, tablet: { width: 820, height: 1180 } } as const;
export type Size = keyof typeof sizes;
/** Units as the page sets them. */
export const typeset = (text: string) => text.replace(/\bum\b/g, '\u00b5m').replace(/\bdeg([CF])\b/g, '\u00b0$1').replace(/\b(c?m|ft)2\b/g, '$1\u00b2').replace(/\b(c?m|ft)3\b/g, '$1\u00b3');
const screens = path.join(project, 'out/screens');

/** The program that is asked and the browser that asks it; each file of tests sets both. */
export const bench = {} as { running: Running; browser: Browser };
export const complaints: string[] = [];
const pages: Page[] = [];

export async function fresh(size: Size, hash = ''): Promise<Page> {
  const context = await bench.browser.newContext({ viewport: sizes[size], hasTouch: size === 'tablet' });
  const page = await context.newPage();
  page.setDefaultTimeout(150_000); // software graphics on a busy machine
  pages.push(page);
  page.on('pageerror', (error) => complaints.push(error.message));
  page.on('console', (message) => {
    if (message.type() === 'error' && !message.text().includes('404')) complaints.push(message.text());
  });
  page.on('request', (request) => {
    const { protocol, origin } = new URL(request.url());
    if (!['data:', 'blob:'].includes(protocol) && origin + '/' !== bench.running.address) complaints.push(`asked elsewhere: ${request.url()}`);
  });
  await page.goto(bench.running.address + hash);
  return page;
}

export async function instrument(page: Page) {
  await page.waitForSelector('canvas:not(.pale)', { timeout: 200_000 });
  await page.waitForTimeout(400); // a frame of software graphics
}

export async function tap(page: Page, across: number, down: number) {
  const box = (await page.locator('canvas').boundingBox())!;
  const at = [box.x + box.width * across, box.y + box.height * down] as const;
  if (page.viewportSize()!.width === sizes.tablet.width) await page.touchscreen.tap(...at);
  else await page.mouse.click(...at);
  await page.waitForSelector('.stop');
  await page.waitForSelector('.panel[aria-busy=false]');
}

export async function screen(page: Page, name: string, size: Size, whole = false) {
  fs.mkdirSync(screens, { recursive: true });
  await page.screenshot({ path: path.join(screens, `${name}_${size}.png`), fullPage: whole });
}

/** Forms open empty; their example is filled in only when it is asked for. */
export async function ask_the_example(page: Page) {
  await page.getByRole('button', { name: 'Fill in the example (invented)' }).click();
  await page.getByText('invented example', { exact: true }).waitFor();
  await page.getByRole('button', { name: 'Work it out' }).click();
  await page.locator('.out .answer').first().waitFor();
}

/** Everything that is wrong for hands, eyes and assistive tools on the screen as it is. */
export async function faults_for_people(page: Page): Promise<string[]> {
  await page.evaluate(axe_source);
  const found: string[] = await page.evaluate(async () => {
    const axe = (window as any).axe;
    const { violations } = await axe.run(document, { resultTypes: ['violations'] });
    return violations.flatMap((v: any) => v.nodes.map((n: any) => `${v.id}: ${n.target} ${n.failureSummary}`));
  });
  const small: string[] = await page.evaluate(() => {
    const targets = document.querySelectorAll<HTMLElement>('button, a[href], select, label[data-step], input:not([type=radio])');
    return [...targets].flatMap((target) => {
      const { width, height } = target.getBoundingClientRect();
      return width > 0 && (width < 55.5 || height < 55.5) ? [`small target ${width.toFixed(0)} x ${height.toFixed(0)}: ${target.outerHTML.slice(0, 120)}`] : [];
    });
  });
  const wide = await page.evaluate(() => document.documentElement.scrollWidth - document.documentElement.clientWidth);
  return [...found, ...small, ...(wide > 0 ? [`the page is ${wide} px too wide`] : [])];
}

export async function close_pages() {
  for (const page of pages.splice(0)) await page.context().close();
}

/** After each test: its pages closed, and nothing complained of. */
export async function tidy() {
  await close_pages();
  expect(complaints.splice(0)).toEqual([]);
}
