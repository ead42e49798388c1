// Starts the real program and Debian's browser for the tests.
import { spawn, type ChildProcess } from 'node:child_process';
import { createRequire } from 'node:module';
import path from 'node:path';
import { fileURLToPath } from 'node:url';

export const project = path.resolve(path.dirname(fileURLToPath(import.meta.url)), '../..');
const require = createRequire(path.join(project, 'web/package.json'));
export const { chromium } = require('playwright-core') as typeof import('../../web/node_modules/playwright-core');
export const axe_source: string = require('axe-core').source;

const program = process.env.WITNESSLINE_PROGRAM ?? path.join(project, 'build/release/witnessline');

export interface Running {
  address: string; // ends in /
  said: () => string;
  stop: () => Promise<number | null>;
}

export function serve(jobs: string): Promise<Running> {
  return new Promise((resolve, reject) => {
    const child: ChildProcess = spawn(program, ['serve', '--jobs', jobs, '--port', '0'], { cwd: project });
    let said = '';
    const ended = new Promise<number | null>((over) => child.once('close', (code) => over(code)));
    const hear = (bytes: Buffer) => {
      said += bytes;
      const address = said.match(/http:\/\/127\.0\.0\.1:\d+\//)?.[0];
      if (!address) return;
      resolve({
        address,
        said: () => said,
        stop: () => {
          child.kill('SIGINT');
          return ended;
        },
      });
    };
    child.stdout!.on('data', hear);
    child.stderr!.on('data', hear);
    child.once('error', reject);
    ended.then((code) => reject(new Error(`the program ended with ${code} before it served: ${said}`)));
  });
}

export const open_browser = () =>
  chromium.launch({
    executablePath: process.env.WITNESSLINE_CHROMIUM ?? '/usr/bin/chromium',
    args: [
      '--headless', '--no-sandbox', '--disable-gpu', '--no-first-run', '--disable-background-networking',
      '--disable-component-update', '--disable-sync', '--enable-unsafe-swiftshader', '--use-angle=swiftshader',
    ],
  });

export async function until<T>(what: string, ask: () => Promise<T | false | undefined>, seconds = 300): Promise<T> {
  const end = Date.now() + seconds * 1000;
  while (Date.now() < end) {
    const answer = await ask();
    if (answer) return answer;
    await new Promise((again) => setTimeout(again, 250));
  }
  throw new Error(`waited ${seconds} s in vain for: ${what}`);
}

/** Works a job out through the API. */
export async function worked_out(address: string, job: string) {
  await fetch(`${address}api/jobs/${job}/work`, { method: 'POST' });
  return until(`${job} worked out`, async () => {
    const entry = await (await fetch(`${address}api/jobs/${job}`)).json();
    if (entry.stage === 'refused') throw new Error(JSON.stringify(entry.errors));
    return entry.stage === 'ready' && entry;
  }, 1100);
}
