import { describe, expect, it } from 'vitest';
import { choices_of, number_in, numbers_in, readings_of, texts_in, texts_shown } from './typed';

describe('numbers as people type them', () => {
  it('take a decimal point or a decimal comma', () => {
    for (const [text, value] of [['1.5', 1.5], ['1,5', 1.5], ['0,5', 0.5], ['0,200', 0.2], ['.5', 0.5], ['12,34', 12.34], ['1,2345', 1.2345], ['-3,5', -3.5], ['\u22123', -3], ['1e-3', 0.001], ['1200', 1200], ['1.200', 1.2]] as const)
      expect(number_in(text), text).toBe(value);
  });
  it('take thousands where they can be nothing else', () => {
    for (const [text, value] of [['1,200.5', 1200.5], ['1.200,5', 1200.5], ['1,200,000', 1_200_000], ['1.200.000', 1_200_000], ['1 200', 1200], ['1\u202f200', 1200]] as const)
      expect(number_in(text), text).toBe(value);
  });
  it('never guess what can be read two ways', () => {
    expect(number_in('1,200')).toBe('1,200');
    expect(readings_of('1,200')).toEqual([1200, 1.2]);
    expect(number_in('-12,500')).toBe('-12,500');
  });
  it('leave to the program what is no number', () => {
    for (const text of ['a lot', '1,23,4', '1.2.3', '5 %', '0x10', '1,2.3,4', 'Infinity']) expect(number_in(text), text).toBe(text);
  });
});

describe('lists of numbers', () => {
  it('are separated by blanks, semicolons or commas', () => {
    expect(numbers_in('1, 2.5\n3 x')).toEqual([1, 2.5, 3, 'x']);
    expect(numbers_in('0,5; 1,25;2')).toEqual([0.5, '1,25', 2]);
    expect(numbers_in('78,4,19.5')).toEqual([78, 4, 19.5]);
    expect(numbers_in('1,2,3')).toEqual([1, 2, 3]);
    expect(numbers_in('5, 10, 15,')).toEqual([5, 10, 15]);
    expect(numbers_in('')).toEqual([]);
  });
  it('read "0,5" as a half', () => expect(numbers_in('0,5')).toEqual([0.5]));
  it('keep what is not clear as typed, with what it may mean', () => {
    expect(numbers_in('1,5')).toEqual(['1,5']);
    expect(choices_of('1,5')).toEqual([[1.5], [1, 5]]);
    expect(choices_of('1,200')).toEqual([[1200], [1.2], [1, 200]]);
    expect(choices_of('x')).toEqual([]);
  });
});

describe('lists of texts', () => {
  it('are one a line or between commas', () => {
    expect(texts_in('old clear, isolator')).toEqual(['old clear', 'isolator']);
    expect(texts_in('old clear; isolator\n\nshading')).toEqual(['old clear', 'isolator', 'shading']);
  });
  it('hold together in quotes', () => {
    expect(texts_in('"clear, thin"\nisolator')).toEqual(['clear, thin', 'isolator']);
    expect(texts_in(texts_shown(['clear, thin', 'isolator']))).toEqual(['clear, thin', 'isolator']);
  });
});
