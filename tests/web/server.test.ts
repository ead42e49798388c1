// The server against requests a page never makes: nothing leaves the project folder, nothing stops the program.
import fs from 'node:fs';
import net from 'node:net';
import os from 'node:os';
import path from 'node:path';
import { serve, until, type Running } from './program';

let running: Running;
let folder: string;

/** Sends bytes as they are and returns all that comes back. */
function raw(bytes: string): Promise<string> {
  const { port } = new URL(running.address);
  return new Promise((resolve, reject) => {
    let heard = '';
    const socket = net.connect(Number(port), '127.0.0.1', () => socket.write(bytes));
    socket.setTimeout(9000, () => socket.destroy());
    socket.on('data', (part) => (heard += part));
    socket.on('close', () => resolve(heard));
    socket.on('error', (error: NodeJS.ErrnoException) => (heard || error.code === 'ECONNRESET' ? resolve(heard) : reject(error)));
  });
}
const get = (target: string, headers = '') =>
  raw(`GET ${target} HTTP/1.1\r\nHost: ${new URL(running.address).host}\r\nConnection: close\r\n${headers}\r\n`);
const status = (answer: string) => Number(answer.match(/^HTTP\/1\.1 (\d+)/)?.[1]);

beforeAll(async () => {
  folder = fs.mkdtempSync(path.join(os.tmpdir(), 'witnessline-'));
  fs.mkdirSync(path.join(folder, 'faulty'));
  fs.writeFileSync(path.join(folder, 'faulty/job.toml'), 'id = "faulty"\ntitel = "A job with faults"\n');
  running = await serve(folder);
});
afterAll(async () => {
  expect(await running.stop()).toBe(0);
  expect(running.said()).toContain('stopped');
  fs.rmSync(folder, { recursive: true });
});

test('paths that climb out of the page folder find nothing', async () => {
  for (const target of ['/../../../../etc/passwd', '/%2e%2e/%2e%2e/%2e%2e/etc/passwd', '/..%2f..%2fetc/passwd', '/assets/../../package.json', '//etc/passwd', '/%00', '/index.html%00.js']) {
    const answer = await get(target);
    expect([400, 404], target).toContain(status(answer));
    expect(answer).not.toContain('root:');
    expect(answer).not.toContain('"name"');
  }
});

test('requests that make no sense are refused in our form and the program lives on', async () => {
  const host = new URL(running.address).host;
  const refused: [string, number[]][] = [
    [`BREW /api/jobs HTTP/1.1\r\nHost: ${host}\r\nConnection: close\r\n\r\n`, [400, 404, 405]],
    [`DELETE /api/jobs/faulty HTTP/1.1\r\nHost: ${host}\r\nConnection: close\r\n\r\n`, [400, 404, 405]],
    [`POST /api/jobs HTTP/1.1\r\nHost: ${host}\r\nContent-Length: 0\r\nConnection: close\r\n\r\n`, [404]],
    [`GET /${'x'.repeat(20000)} HTTP/1.1\r\nHost: ${host}\r\nConnection: close\r\n\r\n`, [414]],
    [`POST /api/jobs/faulty/work HTTP/1.1\r\nHost: ${host}\r\nContent-Length: 99999999999\r\nConnection: close\r\n\r\n`, [413]],
    ['nonsense\r\n\r\n', [400]],
  ];
  for (const [bytes, expected] of refused) {
    const answer = await raw(bytes);
    if (answer) expect(expected, bytes.slice(0, 40) + answer.slice(0, 80)).toContain(status(answer));
  }
  for (const target of ['/api/', '/api/jobs/none', '/api/jobs/none/outcome', '/api/jobs/faulty/mesh', '/api/jobs/faulty/plans/x/steps/99999999999999999999/column?x=nan&y=1e999&z='])
    expect([400, 404, 409], target).toContain(status(await get(target)));
  const answer = await fetch(`${running.address}api/jobs/none`);
  expect(answer.status).toBe(404);
  const { errors } = await answer.json();
  expect(errors[0].what).toContain("no job 'none'");
  expect(errors[0].fix).not.toBe('');
});

test('another site cannot ask through the browser', async () => {
  expect(status(await raw('GET /api/jobs HTTP/1.1\r\nHost: elsewhere.example\r\nConnection: close\r\n\r\n'))).toBe(403);
  expect(status(await get('/api/jobs', 'Origin: http://elsewhere.example\r\n'))).toBe(403);
  expect(status(await get('/api/jobs'))).toBe(200);
});

test('a faulty job is listed with what is wrong, where and what to do', async () => {
  const job = await until('the job read', async () => {
    const { jobs } = await (await fetch(`${running.address}api/jobs`)).json();
    return jobs[0].stage === 'refused' && jobs[0];
  });
  const unknown = job.errors.find((error: { where: { key: string } }) => error.where.key.includes('titel'));
  expect(unknown.where.line).toBe(2);
  expect(JSON.stringify(unknown)).toContain('title');
  expect((await fetch(`${running.address}api/jobs/faulty/outcome`)).status).toBe(409);
});

test('a job put into the folder while it is served is listed', async () => {
  const later = path.join(folder, 'later');
  fs.mkdirSync(later);
  fs.writeFileSync(path.join(later, 'job.toml'), 'id = "later"\n');
  await until('the new job listed', async () => {
    const { jobs } = await (await fetch(`${running.address}api/jobs`)).json();
    return jobs.some((one: { id: string }) => one.id === 'later');
  });
});

test('many at once are all answered', async () => {
  const answers = await Promise.all(Array.from({ length: 60 }, () => fetch(`${running.address}api/jobs`)));
  expect(answers.every((answer) => answer.status === 200)).toBe(true);
});

test('a folder that is not there ends with status 1 and says so', async () => {
  await expect(serve(path.join(folder, 'nowhere'))).rejects.toThrow(/ended with 1.*no such job file or folder/s);
});

test('an empty folder is served as an empty list', async () => {
  fs.mkdirSync(path.join(folder, 'empty'));
  const empty = await serve(path.join(folder, 'empty'));
  expect(await (await fetch(`${empty.address}api/jobs`)).json()).toEqual({ jobs: [] });
  expect(await empty.stop()).toBe(0);
});
