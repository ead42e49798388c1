import { describe, expect, it } from 'vitest';
import { blank, name_of, numbers_in, type Key, type Shape } from './shape';

const number: Shape = { is: 'number' };
const key = (name: string, unit: string, required = false): Key => ({ key: name, doc: '', unit, required, shape: number });

describe('forms from shapes', () => {
  it('say a key without its unit', () => {
    expect(name_of(key('left_g', 'g'))).toBe('left');
    expect(name_of(key('air_flow_m3_h', 'm3/h'))).toBe('air flow');
    expect(name_of(key('wet_film', 'um'))).toBe('wet film');
  });
  it('start with what must be given', () => {
    expect(blank({ is: 'table', keys: [key('left_g', 'g', true), key('price', '')] })).toEqual({ left_g: 0 });
  });
  it('keep what is no number for the program to refuse', () => {
    expect(numbers_in('1, 2.5\n3 x')).toEqual([1, 2.5, 3, 'x']);
  });
});
