// The bench app in a real browser, against the real program and the demo jobs. Leaves its pictures in out/screens/.
import { ask_the_example, bench, close_pages, complaints, faults_for_people, fresh, instrument, screen, sizes, tap, tidy, typeset } from './bench_page';
import { open_browser, serve, until, worked_out } from './program';

const job = process.env.WITNESSLINE_TEST_JOB ?? 'octave_mandolin';

let outcome: any;

beforeAll(async () => {
  bench.running = await serve('examples');
  bench.browser = await open_browser();
  const page = await fresh('wide');
  await page.getByRole('button', { name: /^Open / }).first().waitFor();
  await until('every job read', async () => !(await (await fetch(`${bench.running.address}api/jobs`)).json()).jobs.some((one: any) => one.stage === 'unread'));
  await page.waitForTimeout(600);
  await screen(page, 'jobs', 'wide');
  expect(await faults_for_people(page)).toEqual([]);
  await page.goto(`${bench.running.address}#/job/${job}/cut`);
  await page.getByRole('progressbar').waitFor();
  await page.waitForTimeout(1500);
  await screen(page, 'being_worked_out', 'wide');
  expect(await faults_for_people(page)).toEqual([]);
  await worked_out(bench.running.address, job);
  outcome = await (await fetch(`${bench.running.address}api/jobs/${job}/outcome`)).json();
});
afterAll(async () => {
  await bench.browser?.close();
  expect(await bench.running.stop()).toBe(0);
});
afterEach(tidy);

const plans = () => outcome.plans.filter((plan: any) => plan.runs);
/** The plan with most steps tells most. */
const long_plan = () => plans().reduce((a: any, b: any) => (b.steps.length > a.steps.length ? b : a));

describe.each(['wide', 'tablet'] as const)('%s', (size) => {
  test('the list of jobs opens a job', async () => {
    const page = await fresh(size);
    await page.getByRole('button', { name: new RegExp(`^Open ${outcome.title}`) }).click();
    await instrument(page);
    await expect(page.locator('h1').innerText()).resolves.toContain(outcome.title);
    expect(await page.locator('h1').innerText()).toContain('invented');
    await screen(page, 'before_a_tap', size);
    expect(await faults_for_people(page)).toEqual([]);
  });

  test('a tap reads the coats and the stop depth, in both units', async () => {
    const plan = long_plan();
    const page = await fresh(size, `#/job/${job}/cut?plan=${plan.id}`);
    await instrument(page);
    const asked = page.waitForResponse((answer) => answer.url().includes('/column?'));
    await tap(page, 0.56, 0.6);
    const column = await (await asked).json();
    const stop = page.locator('.stop');
    expect(await stop.innerText()).toContain('STOP');
    const nearest = column.stops[0];
    const shown = async () => (await stop.locator('.value').first().innerText()).replace(/\s+/g, '');
    expect(await shown()).toBe(typeset(nearest.depth.metric.text).replace(/\s+/g, ''));
    expect(await stop.innerText()).toContain(nearest.before.replaceAll('_', ' '));
    const numerals = await stop.locator('b').first().evaluate((b) => parseFloat(getComputedStyle(b).fontSize));
    expect(numerals).toBeGreaterThan(70);
    expect(await page.locator('.coats tbody tr').count()).toBe(column.coats.length + 1);
    await screen(page, 'where_can_i_cut', size);
    expect(await faults_for_people(page)).toEqual([]);
    await page.getByRole('button', { name: 'US', exact: true }).click();
    expect(await shown()).toBe(nearest.depth.us.text.replace(/\s+/g, ''));
    await screen(page, 'where_can_i_cut_us', size);
    await page.reload();
    await instrument(page);
    expect(await page.getByRole('button', { name: 'US', exact: true }).getAttribute('aria-pressed')).toBe('true');
  });

  test('the column is drawn to scale', async () => {
    const plan = long_plan();
    const page = await fresh(size, `#/job/${job}/cut?plan=${plan.id}&step=-1`);
    await instrument(page);
    const asked = page.waitForResponse((answer) => answer.url().includes('/column?'));
    await tap(page, 0.55, 0.6);
    const column = await (await asked).json();
    const left = column.coats.map((coat: any) => Math.max(0, coat.left.value)).filter((value: number) => value > 0);
    const heights = await page.locator('.coats svg rect').evaluateAll((all) => all.map((one) => Number(one.getAttribute('height'))));
    expect(heights.length).toBe(left.length + 1);
    for (let i = 1; i < left.length; ++i) expect(heights[i]! / heights[0]!).toBeCloseTo(left[i] / left[0], 6);
    await screen(page, 'where_can_i_cut_end', size, true);
    expect(await faults_for_people(page)).toEqual([]);
  });

  test('the map of stop depths says where a tap stops', async () => {
    const plan = long_plan();
    const page = await fresh(size, `#/job/${job}/cut?plan=${plan.id}&step=-1`);
    await instrument(page);
    const plain = await page.locator('canvas').screenshot();
    await page.getByRole('button', { name: 'Depth limits' }).click();
    const legend = page.locator('.legend span');
    await legend.last().waitFor();
    const { words } = await (await fetch(`${bench.running.address}api/stop_legend`)).json();
    expect(await legend.allInnerTexts()).toEqual(words.map(typeset));
    await page.waitForTimeout(1500);
    expect((await page.locator('canvas').screenshot()).equals(plain)).toBe(false);
    const step = plan.steps.length - 1;
    const stops = new Uint8Array(await (await fetch(`${bench.running.address}api/jobs/${job}/plans/${plan.id}/steps/${step}/stops`)).arrayBuffer());
    const mesh = new DataView(await (await fetch(`${bench.running.address}api/jobs/${job}/mesh`)).arrayBuffer());
    expect(stops.length).toBe(mesh.getUint32(4, true));
    // What the map says of a vertex is what the column there says, to the steps of the legend.
    const steps_m = [0, 10e-6, 20e-6, 40e-6, 80e-6];
    for (let vertex = 0; vertex < stops.length; vertex += Math.ceil(stops.length / 12)) {
      if (stops[vertex] === words.length - 1) continue; // under tape
      const at = [0, 4, 8].map((axis) => mesh.getFloat32(12 + 12 * vertex + axis, true));
      const column = await (await fetch(`${bench.running.address}api/jobs/${job}/plans/${plan.id}/steps/${step}/column?x=${at[0]}&y=${at[1]}&z=${at[2]}`)).json();
      const depth = column.stops[0].depth.value;
      const near_a_step = steps_m.some((one) => Math.abs(depth - one) < 1e-6);
      if (!near_a_step) expect(stops[vertex], `vertex ${vertex}: ${depth}`).toBe(steps_m.filter((one) => depth > one).length);
    }
    await screen(page, 'stop_depths', size);
    expect(await faults_for_people(page)).toEqual([]);
  });

  test('the map of wear follows the touches that are on', async () => {
    const plan = long_plan();
    const { lives } = await (await fetch(`${bench.running.address}api/jobs/${job}/lives`)).json();
    const asked = (touches: string) => fetch(`${bench.running.address}api/jobs/${job}/plans/${plan.id}/steps/0/wear?touches=${touches}`);
    const worn = async (touches: string) => new Uint8Array(await (await asked(touches)).arrayBuffer());
    const { words } = await (await fetch(`${bench.running.address}api/wear_legend`)).json();
    const [all, arm] = [await worn(''), await worn('forearm')];
    const area = (map: Uint8Array) => map.reduce((sum, place) => sum + (place > 0 ? 1 : 0), 0);
    expect(Math.max(...all)).toBeLessThan(words.length);
    expect(area(arm)).toBeGreaterThan(0);
    expect(area(arm)).toBeLessThan(area(all));
    expect(all.every((place, vertex) => place >= arm[vertex]!)).toBe(true); // more that touches never wears less
    const refused = await asked('elbow');
    expect([refused.status, (await refused.json()).errors[0].where.key]).toEqual([400, 'touches']);
    const page = await fresh(size, `#/job/${job}/cut?plan=${plan.id}`);
    await instrument(page);
    await page.getByRole('button', { name: 'Predicted wear' }).click();
    const touches = page.getByRole('group', { name: 'What touches it' }).getByRole('button');
    await touches.first().waitFor();
    expect(await touches.count()).toBe(lives[0].touches.length);
    await page.locator('.legend span').last().waitFor();
    await page.waitForTimeout(1500);
    const before = await page.locator('canvas').screenshot();
    for (const touch of lives[0].touches.filter((one: string) => one !== 'forearm')) await page.getByRole('button', { name: touch.replaceAll('_', ' '), exact: true }).click();
    await page.waitForTimeout(2500);
    expect((await page.locator('canvas').screenshot()).equals(before)).toBe(false);
    await screen(page, 'wear_of_a_life', size);
    expect(await faults_for_people(page)).toEqual([]);
  });

  test('before, after and as if untouched are shown in the light asked for', async () => {
    const plan = long_plan();
    const page = await fresh(size, `#/job/${job}/pictures?plan=${plan.id}`);
    const drawn = () => until('three stills', async () => (await page.locator('.still[aria-busy=false] img').count()) === 3, 200);
    await drawn();
    const sources = () => page.locator('.still img').evaluateAll((all) => all.map((one) => (one as HTMLImageElement).src));
    const by_window = await sources();
    await screen(page, 'pictures', size, true);
    expect(await faults_for_people(page)).toEqual([]);
    const asked = page.waitForRequest((request) => request.url().includes('light=stage') && request.url().includes('as_if_untouched'));
    await page.getByRole('button', { name: 'Stage', exact: true }).click();
    await asked;
    // What is kept from before may be there at once, so the wait is for the pictures and not for the bar.
    await until('none of the old stills', async () => !(await sources()).some((source) => by_window.includes(source)), 200);
    await drawn();
    await screen(page, 'pictures_stage', size, true);
    await page.getByRole('button', { name: 'Larger' }).first().click();
    await until('one still', async () => (await page.locator('.still[aria-busy=false] img').count()) === 1, 200);
    expect(await page.getByRole('button', { name: 'Stage', exact: true }).getAttribute('aria-pressed')).toBe('true');
  });

  test('the untouched parts are a form of evidence by part', async () => {
    const page = await fresh(size, '#/ask/life');
    await ask_the_example(page);
    const form = page.getByRole('region', { name: 'What was seen, part by part' });
    expect((await form.boundingBox())!.height).toBeLessThan(1300);
    if (size === 'wide') expect(await page.evaluate(() => document.documentElement.scrollHeight)).toBeLessThan(2600);
    await form.getByRole('button', { name: /headstock face/i }).click();
    expect(await form.getByRole('heading', { level: 3 }).allInnerTexts()).toEqual(['Yellow of the clear', 'Sheen', 'Checks on a photograph']);
    await screen(page, 'life_part_open', size, true);
    expect(await faults_for_people(page)).toEqual([]);
    await form.getByRole('button', { name: /headstock face/i }).first().click();
    await form.getByRole('button', { name: 'Add a part' }).click();
    await form.getByLabel('Part and spot').fill('back plate');
    await form.getByRole('button', { name: 'Plated metal', exact: true }).click();
    await form.locator('select').selectOption('pitted');
    const sent = page.waitForRequest((request) => request.method() === 'POST' && request.url().includes('/verbs/life'));
    await page.getByRole('button', { name: 'Work it out' }).click();
    expect((await sent).postDataJSON().metal.at(-1)).toEqual({ name: 'back plate', tarnish: 'pitted' });
  });

  test('steps are scrubbed by button, keys and dragging, and the colours follow', async () => {
    const plan = long_plan();
    const page = await fresh(size, `#/job/${job}/cut?plan=${plan.id}`);
    await instrument(page);
    const now = () => page.locator('input[name=step]:checked').inputValue();
    const before = await page.locator('canvas').screenshot();
    await page.getByRole('button', { name: 'Next step' }).click();
    expect(await now()).toBe('1');
    await page.locator('input[name=step]:checked').focus();
    await page.keyboard.press('ArrowRight');
    expect(await now()).toBe('2');
    const last = plan.steps.length - 1;
    const from = (await page.locator('label[data-step="2"]').boundingBox())!;
    const to = (await page.locator(`label[data-step="${last}"]`).boundingBox())!;
    await page.mouse.move(from.x + 20, from.y + 30);
    await page.mouse.down();
    await page.mouse.move(to.x + 20, to.y + 30, { steps: 12 });
    await page.mouse.up();
    expect(await now()).toBe(String(last));
    expect(page.url()).toContain(`step=${last}`);
    await page.waitForTimeout(1500);
    const after = await page.locator('canvas').screenshot();
    expect(after.equals(before)).toBe(false);
    await screen(page, 'last_step', size);
    await page.getByRole('button', { name: 'back', exact: true }).click();
    await page.waitForTimeout(900);
    await screen(page, 'back_at_the_end', size);
  });

  test('plans stand side by side with the numbers of the outcome', async () => {
    const page = await fresh(size, `#/job/${job}/plans`);
    await page.locator('table').waitFor();
    await until('stills', async () => page.locator('thead img').evaluateAll((all) => all.every((one) => (one as HTMLImageElement).complete && (one as HTMLImageElement).naturalWidth > 0)), 60);
    for (const [row, key] of [['Original finish kept', 'kept_fraction'], ['First to last day', 'days'], ['Cost', 'cost']] as const) {
      const cells = await page.locator('tbody tr', { has: page.getByRole('rowheader', { name: row, exact: true }) }).locator('td .value').allInnerTexts();
      expect(cells.map((cell) => cell.replace(/\s+/g, ''))).toEqual(plans().map((plan: any) => plan[key].metric.text.replace(/\s+/g, '')));
    }
    await screen(page, 'plans', size, true);
    expect(await faults_for_people(page)).toEqual([]);
  });

  test('readings show every region and the chart', async () => {
    const plan = long_plan();
    const page = await fresh(size, `#/job/${job}/readings?plan=${plan.id}&step=-1`);
    await page.locator('.chart canvas').waitFor();
    await page.waitForTimeout(300);
    expect(await page.locator('section.whole').first().locator('tbody tr').count()).toBe(plan.steps.at(-1).thickness.length);
    await screen(page, 'readings', size, true);
    expect(await faults_for_people(page)).toEqual([]);
  });

  test('papers are drawn and can be printed', async () => {
    const plan = long_plan();
    const page = await fresh(size, `#/job/${job}/papers?plan=${plan.id}`);
    const print = page.getByRole('button', { name: 'Print' });
    const shown = page.frameLocator('iframe').locator('body');
    for (const [paper, says] of [['owners_report', plan.title], ['proposal', plans()[0].title], ['safety_sheet', 'Cautions']]) {
      await page.getByLabel('Paper').selectOption(paper);
      await shown.getByText(says).locator('visible=true').first().waitFor({ timeout: 60_000 }); // the running foot is hidden on screen
      expect(await shown.innerText()).toContain(outcome.title);
      expect(await print.isEnabled()).toBe(true);
      expect(await faults_for_people(page)).toEqual([]);
    }
    const pdf = await fetch(new URL((await page.getByRole('link', { name: 'Open as PDF' }).getAttribute('href'))!, page.url()));
    expect(pdf.headers.get('content-type')).toBe('application/pdf');
    expect((await pdf.text()).startsWith('%PDF-')).toBe(true);
    await page.waitForTimeout(300);
    await screen(page, 'papers', size);
  });

  test('a number opens to its working and closes again', async () => {
    const page = await fresh(size, `#/job/${job}/plans`);
    const number = page.locator('tbody .number').first();
    await number.click();
    const dialog = page.getByRole('dialog');
    const figure = plans()[0].kept_fraction;
    expect(await dialog.innerText()).toContain(figure.law);
    expect(await dialog.innerText()).toContain(typeset(figure.metric.text));
    for (const input of figure.inputs) expect(await dialog.innerText()).toContain(typeset(input.metric.text));
    await page.waitForTimeout(300);
    await screen(page, 'working', size);
    expect(await faults_for_people(page)).toEqual([]);
    await page.keyboard.press('Escape');
    await dialog.waitFor({ state: 'hidden' });
    expect(await number.evaluate((one) => one === document.activeElement)).toBe(true);
  });

  test('dangers stay in sight on every screen', async () => {
    for (const plan of plans()) {
      const dangers = [...outcome.notes, ...plan.notes, ...plan.steps.flatMap((step: any) => step.notes)].filter((note: any) => note.severity === 'danger' && note.about !== 'hold_points');
      for (const where of ['cut', 'plans', 'readings', 'papers']) {
        const page = await fresh(size, `#/job/${job}/${where}?plan=${plan.id}`);
        await page.locator('main').waitFor();
        await page.waitForSelector('nav button:enabled');
        for (const danger of dangers) {
          const text = page.getByText(typeset(danger.text), { exact: true }).first();
          await text.waitFor({ timeout: 20_000 });  // the outcome may still be on its way
          expect((await text.boundingBox())!.y).toBeLessThan(sizes[size].height);
        }
      }
    }
  });

  test('whether a plan may begin stands on every screen', async () => {
    const plan = long_plan();
    for (const where of ['cut', 'plans', 'readings', 'papers']) {
      const page = await fresh(size, `#/job/${job}/${where}?plan=${plan.id}`);
      const box = page.getByRole('button', { name: /^Safety of the plan/ });
      await box.waitFor();
      expect(await box.innerText()).toContain(plan.ready ? 'EVERY QUESTION ANSWERED' : 'NOT READY');
      await close_pages();
    }
    const page = await fresh(size, `#/job/${job}/safety?plan=${plan.id}`);
    for (const hold of plan.open_hold_points) await page.getByText(hold.question.slice(0, 40)).first().waitFor();
    for (const air of plan.air) await page.getByRole('row', { name: air.step.replaceAll('_', ' ') }).first().waitFor();
    await screen(page, 'safety', size, true);
    expect(await faults_for_people(page)).toEqual([]);
  });

  test('every question at the bench is asked by a form and answered', async () => {
    const { verbs } = await (await fetch(`${bench.running.address}api/verbs`)).json();
    expect(verbs.length).toBeGreaterThan(5);
    for (const { word } of verbs) {
      const page = await fresh(size, `#/ask/${word}`);
      await ask_the_example(page);
      expect(await page.locator('.out').innerText()).not.toMatch(/\bNaN\b|undefined|\[object/);
      await screen(page, `ask_${word}`, size, true);
      expect(await faults_for_people(page), word).toEqual([]);
      await close_pages();
    }
  });

  test('what goes wrong says so, and mends itself', async () => {
    const page = await fresh(size, `#/job/${job}/cut`);
    await instrument(page);
    await tap(page, 0.5, 0.6);
    await page.route('**/column?**', (route) => route.fulfill({ status: 500, contentType: 'application/json', body: JSON.stringify({ errors: [{ what: 'internal error', where: { file: '', line: 0, column: 0, key: '' }, expected: '', fix: 'Please report it with this text.', text: '' }] }) }));
    const box = (await page.locator('canvas').boundingBox())!;
    await page.mouse.click(box.x + box.width * 0.5, box.y + box.height * 0.5);
    await page.getByText('internal error').waitFor();
    expect(await page.locator('.stop').count()).toBe(0);
    await page.unroute('**/column?**');
    await page.route('**/api/**', (route) => route.abort());
    await page.getByText('The program does not answer.').waitFor();
    await screen(page, 'no_answer', size);
    await page.unroute('**/api/**');
    await page.getByText('The program does not answer.').waitFor({ state: 'hidden' });
    await tap(page, 0.5, 0.55);
    complaints.splice(0); // the browser reports the answers we broke
    await page.goto(`${bench.running.address}#/job/no_such_job/cut`);
    await page.getByText('There is no job').waitFor();
    expect(await faults_for_people(page)).toEqual([]);
  });

  test('the keyboard alone reads a place', async () => {
    const page = await fresh(size, `#/job/${job}/cut`);
    await instrument(page);
    await page.locator('canvas').focus();
    await page.keyboard.press('ArrowLeft');
    await page.keyboard.press('+');
    await page.keyboard.press('Enter');
    await page.waitForSelector('.stop');
  });
});

test('every still that can be asked for is drawn, once', async () => {
  const plan = long_plan();
  const last = plan.steps.length - 1;
  const ask = async (path: string) => {
    const answer = await fetch(`${bench.running.address}api/jobs/${job}/${path}`);
    return { status: answer.status, bytes: new Uint8Array(await answer.arrayBuffer()) };
  };
  const fronts = new Set<string>();
  for (const of of [`plans/${plan.id}/steps/0/still`, `plans/${plan.id}/steps/${last}/still`, 'as_if_untouched']) {
    const seen = new Set<string>();
    for (const face of ['front', 'back', 'side', 'three_quarter'])
      for (const light of ['window', 'lamp', 'stage'])
        for (const fitted of face === 'front' ? ['no', 'yes'] : ['no']) {
          const path = `${of}/${face}.png?width=60&height=80&light=${light}&fitted=${fitted}`;
          const { status, bytes } = await ask(path);
          expect(status, path).toBe(200);
          expect([...bytes.slice(0, 4)], path).toEqual([0x89, 0x50, 0x4e, 0x47]);
          const picture = Buffer.from(bytes).toString('base64');
          expect(seen.has(picture), `${path} is another picture`).toBe(false);
          seen.add(picture);
          if (face === 'front') fronts.add(picture);
        }
  }
  expect(fronts.size, 'before, after and untouched all look different from the front').toBe(18);
  for (const [query, key] of [['light=candle', 'light'], ['fitted=perhaps', 'fitted'], ['width=9000', 'width']])
    for (const of of [`plans/${plan.id}/steps/0/still`, 'as_if_untouched']) {
      const answer = await fetch(`${bench.running.address}api/jobs/${job}/${of}/front.png?${query}`);
      expect([answer.status, (await answer.json()).errors[0].where.key]).toEqual([400, key]);
    }
  const large = 'as_if_untouched/front.png?width=420&height=560';
  const took = async (of: string) => {
    const began = Date.now();
    const { bytes } = await ask(of);
    return { ms: Date.now() - began, bytes };
  };
  const first = await took(large), again = await took(large);
  expect(Buffer.from(again.bytes).equals(Buffer.from(first.bytes))).toBe(true);
  expect(again.ms).toBeLessThan(first.ms / 3);
});

test('without 3-D the stills are shown', async () => {
  const page = await fresh('wide');
  await page.addInitScript(() => {
    HTMLCanvasElement.prototype.getContext = () => null;
  });
  await page.goto(`${bench.running.address}#/job/${job}/cut`);
  await page.reload();
  await page.getByText('cannot show the instrument in 3-D').waitFor();
  await until('stills', async () => page.locator('.stills img').evaluateAll((all) => all.length === 3 && all.every((one) => (one as HTMLImageElement).naturalWidth > 0)), 60);
  complaints.splice(0); // three says that it could not draw
});

