import { describe, expect, it } from 'vitest';
import { ColourCache } from './colour_cache';

describe('colours kept', () => {
  it('are asked for once, and again after a failure', async () => {
    const cache = new ColourCache();
    let asked = 0;
    const read = async () => new Uint8Array([++asked]);
    await cache.get('a', read);
    expect([...(await cache.get('a', read))]).toEqual([1]);
    await expect(cache.get('b', async () => { throw new Error('no answer'); })).rejects.toThrow();
    expect([...(await cache.get('b', read))]).toEqual([2]);
  });
  it('forget what was used longest ago', async () => {
    const cache = new ColourCache();
    let asked = 0;
    const read = async () => new Uint8Array([++asked]);
    await cache.get('first', read);
    for (let i = 0; i < 60; ++i) await cache.get(`s${i}`, read);
    const before = asked;
    await cache.get('s59', read);
    expect(asked).toBe(before);
    await cache.get('first', read);
    expect(asked).toBe(before + 1);
  });
});
