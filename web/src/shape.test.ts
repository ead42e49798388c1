import { describe, expect, it } from 'vitest';
import { blank, by_part, evidence_lists, keys_asked, name_of, summary_of, type Key, type Shape } from './shape';

const number: Shape = { is: 'number' };
const key = (name: string, unit: string, required = false): Key => ({ key: name, doc: '', unit, required, shape: number });

describe('forms from shapes', () => {
  it('say a key without its unit', () => {
    expect(name_of(key('left_g', 'g'))).toBe('left');
    expect(name_of(key('air_flow_m3_h', 'm3/h'))).toBe('air flow');
    expect(name_of(key('wet_film', 'um'))).toBe('wet film');
  });
  it('start with nothing: a nought would be a finding', () => {
    expect(blank({ is: 'table', keys: [key('left_g', 'g', true), key('price', '')] })).toEqual({});
  });
  it('tell in one line what is given', () => {
    const shape: Shape = { is: 'table', keys: [{ ...key('name', '', true), shape: { is: 'text' } }, key('over_mm', 'mm'), { ...key('run', ''), shape: { is: 'word', words: ['across'] } }, { ...key('lab', ''), shape: { is: 'list', of: [number] } }] };
    expect(summary_of(shape, { name: 'heel', over_mm: 110, run: 'across', lab: [78, 4, 19.5] })).toBe('heel \u00b7 over 110 mm \u00b7 across \u00b7 lab 78, 4, 19.5');
    expect(summary_of(shape, { name: 'heel', lab: [] }, 'name')).toBe('');
  });
  it('show at once what must be given, what is given, and in an empty table what has no usual value', () => {
    const shape: Shape = { is: 'table', keys: [key('name', '', true), key('gloss', ''), { ...key('sd', ''), unset: 4 }] };
    const words = (value: Record<string, number>) => keys_asked(shape, value).shown.map((one) => one.key);
    expect(words({ name: 1 })).toEqual(['name', 'gloss']);
    expect(words({ name: 1, sd: 3 })).toEqual(['name', 'sd']);
    expect(keys_asked(shape, { name: 1, gloss: 60 }).more.map((one) => one.key)).toEqual(['sd']);
  });
  it('read evidence part by part', () => {
    const list = (name: string): Key => ({ ...key(name, ''), shape: { is: 'list', of: [{ is: 'table', keys: [{ ...key('name', '', true), shape: { is: 'text' } }] }] } });
    const shape: Shape = { is: 'table', keys: [list('sheen'), list('dirt'), list('metal'), key('age', '')] };
    const lists = evidence_lists(shape);
    expect(lists.map((one) => one.key)).toEqual(['sheen', 'dirt', 'metal']);
    const parts = by_part(lists, { sheen: [{ name: 'neck' }, { name: 'heel' }], dirt: [{ name: 'neck' }] });
    expect(parts.map(({ part, seen }) => [part, seen.map((one) => one.key.key)])).toEqual([['neck', ['sheen', 'dirt']], ['heel', ['sheen']]]);
    expect(evidence_lists({ is: 'table', keys: [list('sheen')] })).toEqual([]);
  });
});
