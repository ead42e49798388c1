// The only place that talks to the server.
import type { Fields } from './shape';
import type {
  ColumnReading, Fault, JobEntry, Lamp, LightMesh, LivesTold, Outcome, Paper, Sheet, Source, StillAsked, ThicknessCourse, Touch, Units, Verb,
} from './types';

/** The server refused, and says why. */
export class Refused extends Error {
  constructor(readonly faults: Fault[]) {
    super(faults.map((f) => f.what).join('; '));
  }
}

/** The server did not answer at all. */
export class NoAnswer extends Error {}

const fault = (what: string, fix: string): Fault => ({
  what, fix, expected: '', text: what, where: { file: '', line: 0, column: 0, key: '' },
});

export function faults_of(error: unknown): Fault[] {
  if (error instanceof Refused) return error.faults;
  if (error instanceof NoAnswer)
    return [fault('The program does not answer.', 'Start it again in its terminal; this page then continues.')];
  return [fault(String(error), 'Load the page again. If that does not help, report it with this text.')];
}

async function ask(path: string, how: RequestInit = {}): Promise<Response> {
  let answer: Response;
  try {
    answer = await fetch(path, how);
  } catch (error) {
    if (error instanceof DOMException && error.name === 'AbortError') throw error;
    throw new NoAnswer();
  }
  if (answer.ok) return answer;
  const said = await answer.json().catch(() => null);
  if (said && Array.isArray(said.errors)) throw new Refused(said.errors);
  throw new Refused([fault(`The server answered ${answer.status} to ${path}.`, 'Load the page again.')]);
}

const job_path = (job: string) => `/api/jobs/${encodeURIComponent(job)}`;
const step_path = (job: string, plan: string, step: number) =>
  `${job_path(job)}/plans/${encodeURIComponent(plan)}/steps/${step}`;

export const list_jobs = async (): Promise<JobEntry[]> => (await (await ask('/api/jobs')).json()).jobs;
export const work_out = (job: string) => ask(`${job_path(job)}/work`, { method: 'POST' });
export const read_outcome = async (job: string): Promise<Outcome> => (await ask(`${job_path(job)}/outcome`)).json();
export const read_source = async (key: string): Promise<Source> =>
  (await ask(`/api/source?key=${encodeURIComponent(key)}`)).json();
export const read_course = async (job: string, plan: string, units: Units): Promise<ThicknessCourse> =>
  (await ask(`${job_path(job)}/plans/${encodeURIComponent(plan)}/thickness?units=${units}`)).json();

export const read_mesh = async (job: string): Promise<LightMesh> =>
  mesh_from(await (await ask(`${job_path(job)}/mesh`)).arrayBuffer());

export const read_colours = async (job: string, plan: string, step: number, lamp: Lamp) =>
  new Uint8Array(await (await ask(`${step_path(job, plan, step)}/colours?lamp=${lamp}`)).arrayBuffer());

export const read_stops = async (job: string, plan: string, step: number) =>
  new Uint8Array(await (await ask(`${step_path(job, plan, step)}/stops`)).arrayBuffer());
export const read_wear = async (job: string, plan: string, step: number, life: string, touches: Touch[]) =>
  new Uint8Array(await (await ask(`${step_path(job, plan, step)}/wear?life=${encodeURIComponent(life)}&touches=${touches.join(',')}`)).arrayBuffer());
export const read_wear_legend = async (units: Units): Promise<string[]> =>
  (await (await ask(`/api/wear_legend?units=${units}`)).json()).words;
export const read_lives = async (job: string): Promise<LivesTold> => (await ask(`${job_path(job)}/lives`)).json();
export const read_stop_legend = async (units: Units): Promise<string[]> =>
  (await (await ask(`/api/stop_legend?units=${units}`)).json()).words;

export async function read_column(
  job: string, plan: string, step: number, at: [number, number, number], signal?: AbortSignal,
): Promise<ColumnReading> {
  const [x, y, z] = at;
  return (await ask(`${step_path(job, plan, step)}/column?x=${x}&y=${y}&z=${z}`, { signal })).json();
}

export const section_address = (job: string, plan: string, step: number, at: [number, number, number], units: Units) =>
  `${step_path(job, plan, step)}/section.svg?x=${at[0]}&y=${at[1]}&z=${at[2]}&units=${units}`;
const still_query = ({ light, fitted, width, height, version }: StillAsked) =>
  `.png?width=${width ?? 450}&height=${height ?? 600}&light=${light ?? 'window'}&fitted=${fitted ? 'yes' : 'no'}&version=${version ?? 0}`;
export const still_address = (job: string, plan: string, step: number, asked: StillAsked) =>
  `${step_path(job, plan, step)}/still/${asked.face}${still_query(asked)}`;
export const untouched_address = (job: string, asked: StillAsked) =>
  `${job_path(job)}/as_if_untouched/${asked.face}${still_query(asked)}`;
export const read_still = async (address: string, signal: AbortSignal) => (await ask(address, { signal })).blob();
/** The version only makes the browser ask again once the job was worked out anew. */
export const paper_address = (job: string, paper: Paper, plan: string, units: Units, sheet: Sheet, version: number, pdf = false) =>
  `${job_path(job)}/papers/${paper}${pdf ? '.pdf' : ''}?${new URLSearchParams({ plan, units, sheet, version: String(version) })}`;
export const read_paper = async (address: string, signal: AbortSignal) => (await ask(address, { signal })).text();

export const read_verb = async (word: string): Promise<Verb> => (await ask(`/api/verbs/${word}`)).json();
export const list_verbs = async (): Promise<{ word: string; about: string }[]> => (await (await ask('/api/verbs')).json()).verbs;
export const ask_verb = async (word: string, request: Fields, units: Units, job = ''): Promise<{ answer: Fields; text: string }> =>
  (await ask(`/api/verbs/${word}?units=${units}${job ? `&job=${encodeURIComponent(job)}` : ''}`, {
    method: 'POST', headers: { 'Content-Type': 'application/json' }, body: JSON.stringify(request),
  })).json();

/** Layout in docs/api.md: "WLM1", vertices, triangles, then positions, normals and corners. */
export function mesh_from(bytes: ArrayBuffer): LightMesh {
  const head = new DataView(bytes);
  if (bytes.byteLength < 12 || head.getUint32(0, false) !== 0x574c4d31) throw new Error('This page cannot read the mesh.');
  const vertices = head.getUint32(4, true);
  const triangles = head.getUint32(8, true);
  if (bytes.byteLength !== 12 + 24 * vertices + 12 * triangles) throw new Error('The mesh was cut short.');
  return {
    positions: new Float32Array(bytes, 12, 3 * vertices),
    normals: new Float32Array(bytes, 12 + 12 * vertices, 3 * vertices),
    triangles: new Uint32Array(bytes, 12 + 24 * vertices, 3 * triangles),
  };
}
