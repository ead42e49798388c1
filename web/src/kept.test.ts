import { beforeEach, describe, expect, it } from 'vitest';
import { first_form, keep_form, kept_form } from './kept';

const storage = new Map<string, string>();
beforeEach(() => {
  storage.clear();
  (globalThis as any).localStorage = {
    getItem: (key: string) => storage.get(key) ?? null,
    setItem: (key: string, text: string) => void storage.set(key, text),
    removeItem: (key: string) => void storage.delete(key),
  };
});

describe('a form', () => {
  it('opens empty, or with the job it is asked about', () => {
    expect(first_form('', 'dry', ['temperature_degC'], '')).toEqual({});
    expect(first_form('bass', 'dry', ['temperature_degC'], 'job.toml')).toEqual({});
    expect(first_form('bass', 'wear', ['job', 'plan'], 'job.toml')).toEqual({ job: 'job.toml' });
  });
  it('comes back as it was typed, by job and question', () => {
    keep_form('bass', 'dry', { temperature_degC: 21 });
    expect(first_form('bass', 'dry', [], '')).toEqual({ temperature_degC: 21 });
    expect(kept_form('', 'dry')).toBeUndefined();
    expect(kept_form('bass', 'lay')).toBeUndefined();
    keep_form('bass', 'dry', {});
    expect(kept_form('bass', 'dry')).toBeUndefined();
  });
  it('opens where storage is damaged or switched off', () => {
    storage.set('form//dry', '[1');
    expect(first_form('', 'dry', [], '')).toEqual({});
    storage.set('form//dry', '[1]');
    expect(first_form('', 'dry', [], '')).toEqual({});
    (globalThis as any).localStorage = { getItem: () => { throw new Error('no'); }, setItem: () => { throw new Error('no'); } };
    expect(first_form('', 'dry', [], '')).toEqual({});
    keep_form('', 'dry', { a: 1 });
  });
});
