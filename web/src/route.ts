// The address says what is on the screen, so that a reload or a bookmark comes back to it.
export const screens = ['cut', 'plans', 'pictures', 'readings', 'safety', 'papers'] as const;
export type Screen = (typeof screens)[number];

export interface Route {
  ask: string; // a question, of the job where one is named; empty: none
  job: string; // empty: the list of jobs
  screen: Screen;
  plan: string; // empty: the first that runs
  step: number; // -1: the last
}

export function route_from(hash: string): Route {
  const [path = '', query = ''] = hash.replace(/^#?\/?/, '').split('?');
  const [word, job = '', screen = ''] = path.split('/');
  const asked = new URLSearchParams(query);
  const step = Number(asked.get('step') ?? 0);
  return {
    ask: word === 'ask' ? safely_decoded(job) : '',
    job: word === 'job' ? safely_decoded(job) : word === 'ask' ? (asked.get('job') ?? '') : '',
    screen: screens.find((s) => s === screen) ?? 'cut',
    plan: asked.get('plan') ?? '',
    step: Number.isInteger(step) && step >= -1 ? step : 0,
  };
}

export function hash_of(route: Route): string {
  if (route.ask) return `#/ask/${encodeURIComponent(route.ask)}${route.job ? `?${new URLSearchParams({ job: route.job })}` : ''}`;
  if (!route.job) return '#/';
  const asked = new URLSearchParams();
  if (route.plan) asked.set('plan', route.plan);
  if (route.step) asked.set('step', String(route.step));
  const query = asked.toString();
  return `#/job/${encodeURIComponent(route.job)}/${route.screen}${query ? `?${query}` : ''}`;
}

function safely_decoded(text: string): string {
  try {
    return decodeURIComponent(text);
  } catch {
    return '';
  }
}
