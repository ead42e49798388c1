import { describe, expect, it } from 'vitest';
import { hash_of, route_from } from './route';

describe('the address', () => {
  it('comes back to the same screen', () => {
    for (const route of [
      { ask: '', job: '', screen: 'cut', plan: '', step: 0 },
      { ask: '', job: 'octave_mandolin', screen: 'cut', plan: 'partial repair', step: 4 },
      { ask: 'wear', job: '', screen: 'cut', plan: '', step: 0 },
      { ask: 'wear', job: 'a/b?c#d', screen: 'cut', plan: '', step: 0 },
      { ask: '', job: 'a/b?c#d', screen: 'readings', plan: 'p', step: -1 },
    ] as const)
      expect(route_from(hash_of(route))).toEqual(route);
  });
  it('takes anything without failing', () => {
    expect(route_from('')).toEqual({ ask: '', job: '', screen: 'cut', plan: '', step: 0 });
    expect(route_from('#/job/%E0%A4%A/cut')).toMatchObject({ ask: '', job: '' });
    expect(route_from('#/job/x/nonsense?step=two&plan=')).toEqual({ ask: '', job: 'x', screen: 'cut', plan: '', step: 0 });
    expect(route_from('#/job/x/plans?step=-9').step).toBe(0);
  });
});
