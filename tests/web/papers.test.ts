// Prints every paper of the demo jobs on A4 and Letter and reads the PDFs back with independent tools: qpdf, poppler.
import { execFile, execFileSync } from 'node:child_process';
import fs from 'node:fs';
import os from 'node:os';
import path from 'node:path';
import { promisify } from 'node:util';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { project } from './program';

const program = process.env.WITNESSLINE_PROGRAM ?? path.join(project, 'build/release/witnessline');
const out = process.env.WITNESSLINE_PAPERS ?? fs.mkdtempSync(path.join(os.tmpdir(), 'papers-'));
const run = (command: string, args: string[]) => execFileSync(command, args, { maxBuffer: 1 << 28, cwd: project });
const said = (command: string, args: string[]) => run(command, args).toString();
const text_of = (pdf: string) => said('pdftotext', ['-layout', pdf, '-']).replaceAll('\u00a0', ' ').replace(/\s+/g, ' ');
const pages_of = (pdf: string) => Number(said('pdfinfo', [pdf]).match(/^Pages:\s+(\d+)/m)![1]);
const plain = (shown: string) => shown.replaceAll('\u00a0', ' ').replace(/\bum\b/g, 'µm').replace(/\b(cm|m|in|ft)([23])\b/g, (_, unit, power) => unit + (power === '2' ? '²' : '³'));

const most_pages = (paper: string, steps: number) =>
  ({ condition_report: 2, proposal: 2, safety_sheet: 2, owners_report: 3, job_card: Math.ceil(steps / 5) } as Record<string, number>)[paper] ?? Infinity;

afterAll(() => { if (!process.env.WITNESSLINE_PAPERS) fs.rmSync(out, { recursive: true, force: true }); });

/** Longest run of dark pixels in any row of a page drawn at 10 pixels a millimetre, in mm. */
function longest_line_mm(pdf: string, page: number): number {
  const bytes = run('pdftoppm', ['-r', '254', '-f', String(page), '-l', String(page), '-gray', pdf]);
  const head = bytes.subarray(0, 40).toString('latin1').match(/^P5\s+(\d+)\s+(\d+)\s+255\s/)!;
  const [width, height] = [Number(head[1]), Number(head[2])];
  let longest = 0;
  for (let y = Math.floor(height * 0.8); y < height; ++y) {
    let length = 0;
    for (let x = 0; x < width; ++x) {
      length = bytes[head[0].length + y * width + x] < 128 ? length + 1 : 0;
      longest = Math.max(longest, length);
    }
  }
  return longest / 10;
}

describe.each(['lap_steel', 'octave_mandolin', 'slab_bass'])('papers of %s', (job) => {
  const folder = path.join(out, job);
  let outcome: any;
  beforeAll(async () => {
    // Waited for, not blocked on: a runner that hears nothing for a minute reports an error.
    if (!fs.existsSync(folder)) await promisify(execFile)(program, ['papers', `examples/${job}/job.toml`, '--out', folder, '--sheet', 'both'], { maxBuffer: 1 << 28, cwd: project });
    outcome = JSON.parse(fs.readFileSync(path.join(folder, 'outcome.json'), 'utf8'));
  });
  const pdfs = (sheet: string) => (fs.readdirSync(path.join(folder, sheet), { recursive: true }) as string[]).filter((name) => name.endsWith('.pdf')).map((name) => path.join(folder, sheet, name));
  const plan_of = (pdf: string) => outcome.plans.find((plan: any) => plan.id === path.basename(path.dirname(pdf)));

  test.each([['a4', 595, 842], ['letter', 612, 792]] as const)('on %s: sound, of its size, as short as promised', (sheet, wide, high) => {
    expect(pdfs(sheet).length).toBeGreaterThan(5);
    for (const pdf of pdfs(sheet)) {
      run('qpdf', ['--check', pdf]); // throws where it is not sound
      const info = said('pdfinfo', [pdf]);
      const size = info.match(/^Page size:\s+([\d.]+) x ([\d.]+)/m)!;
      expect(Math.abs(Number(size[1]) - wide)).toBeLessThan(1);
      expect(Math.abs(Number(size[2]) - high)).toBeLessThan(1);
      expect(info).toMatch(/^Title:\s+\S.*\S/m);
      expect(info).toMatch(/^Tagged:\s+yes/m);
      for (const font of said('pdffonts', [pdf]).split('\n').slice(2).filter(Boolean)) expect(font, pdf).toMatch(/ yes (yes|no) +(yes|no) +\d+ +\d+$/);
      expect(said('qpdf', ['--json', pdf])).toContain('/Outlines');
      expect(pages_of(pdf), pdf).toBeLessThanOrEqual(most_pages(path.basename(pdf, '.pdf'), (plan_of(pdf)?.steps.length ?? 1) - 1));
      const text = text_of(pdf);
      expect(text).toContain(outcome.title.slice(0, 20));
      expect(text).toContain('Left out:');
      expect(text).not.toMatch(/\bnan\b|\{\{/);
    }
  });

  test('numbers read back from the PDFs are the outcome\'s', () => {
    const proposal = text_of(path.join(folder, 'a4/proposal.pdf'));
    for (const plan of outcome.plans.filter((one: any) => one.runs)) {
      for (const figure of [plan.cost, plan.hands_on, plan.touched_fraction]) expect(proposal).toContain(plain(figure.metric.text));
      const of = (paper: string) => text_of(path.join(folder, 'a4', plan.id, `${paper}.pdf`));
      const report = of('owners_report');
      const end = plan.steps.at(-1);
      if (plan.kept_fraction.value !== null) for (const figure of [plan.kept_fraction, end.kept.visible_area]) expect(report).toContain(plain(figure.metric.text));
      for (const region of end.thickness.filter((one: any) => ['front', 'back', 'sides', 'edge'].includes(one.region)))
        for (const figure of [region.area, region.median, region.p5, region.p95]) expect(report).toContain(plain(figure.metric.text));
      const safety = of('safety_sheet');
      for (const air of plan.air) for (const figure of [air.vapour_mass, air.fan]) expect(safety).toContain(plain(figure.metric.text));
      const card = of('job_card');
      for (const [i, step] of plan.steps.slice(1).entries()) expect(card).toContain(`${i + 1} ${step.word.replaceAll('_', ' ')}`);
    }
  });

  test('templates: the bar is 100 mm on every sheet, to 0.1 mm', () => {
    const pdf = path.join(folder, 'a4', outcome.plans.find((one: any) => one.runs).id, 'templates.pdf');
    // The line runs over half of each end stroke: 100 mm and one stroke of 0.3 mm.
    for (let page = 2; page <= pages_of(pdf); page += 3) expect(Math.abs(longest_line_mm(pdf, page) - 100.3)).toBeLessThanOrEqual(0.1 + 1e-9);
  });
});

// The body of this demo is a mesh file: its own extent across and along, read from the STL, is the template's.
test('a template is as wide and as long as the mesh it was drawn from, to 0.1 mm', () => {
  const stl = fs.readFileSync(path.join(project, 'examples/lap_steel/body.stl'));
  const low = [Infinity, Infinity, Infinity], high = [-Infinity, -Infinity, -Infinity];
  for (let i = 0; i < stl.readUInt32LE(80); ++i)
    for (let corner = 0; corner < 3; ++corner)
      for (let axis = 0; axis < 3; ++axis) {
        const at = stl.readFloatLE(84 + 50 * i + 12 + 12 * corner + 4 * axis);
        low[axis] = Math.min(low[axis], at), high[axis] = Math.max(high[axis], at);
      }
  const extents = high.map((value, axis) => value - low[axis]).sort((a, b) => a - b);
  const svg = fs.readFileSync(path.join(out, 'lap_steel/finish/template_front.svg'), 'utf8');
  const points = [...svg.match(/<path d="([^"]+)"/)![1].matchAll(/[ML]([\d.-]+) ([\d.-]+)/g)].map((m) => [Number(m[1]), Number(m[2])]);
  const extent = (axis: number) => Math.max(...points.map((p) => p[axis])) - Math.min(...points.map((p) => p[axis]));
  expect(svg).toMatch(/width="[\d.]+mm"/);
  expect(Math.abs(extent(0) - extents[1])).toBeLessThan(0.1);
  expect(Math.abs(extent(1) - extents[2])).toBeLessThan(0.1);
});
