import { describe, expect, it } from 'vitest';
import { slabs_of, stop_line, stop_row } from './column_layout';
import type { ColumnReading, Figure } from './types';

const thickness = (value: number | null) => ({ value }) as Figure;
const column = (left: (number | null)[], stop: number | null, stop_before: string) =>
  ({
    wood: 'spruce',
    coats: left.map((value, i) => ({ name: `coat ${i}`, left: thickness(value) })),
    stops: stop_before ? [{ before: stop_before, depth: thickness(stop) }] : [],
  }) as unknown as ColumnReading;

describe('a column to scale', () => {
  it('gives each coat its share of the height above the wood', () => {
    const slabs = slabs_of(column([30e-6, 0, 10e-6], 30e-6, 'coat 2'), 1000);
    expect(slabs.map((slab) => slab.name)).toEqual(['coat 0', 'coat 1', 'coat 2', 'wood']);
    expect(slabs[0]!.height / slabs[2]!.height).toBeCloseTo(3, 10);
    expect(slabs[1]).toMatchObject({ height: 0, present: false });
    const bottom = slabs.at(-1)!;
    expect(bottom.top + bottom.height).toBeCloseTo(1000, 9);
  });
  it('puts the stop on the boundary it protects', () => {
    const reading = column([30e-6, 0, 10e-6], 30e-6, 'coat 2');
    expect(stop_line(reading, 1000)).toBeCloseTo(slabs_of(reading, 1000)[2]!.top, 9);
    expect(stop_row(reading)).toBe(2);
  });
  it('survives coats that are gone, unknown or all missing', () => {
    expect(slabs_of(column([], 0, 'wood'), 300)).toEqual([{ name: 'wood', top: 0, height: 300, present: true }]);
    expect(stop_line(column([], 0, 'wood'), 300)).toBe(0);
    expect(stop_line(column([20e-6], null, ''), 300)).toBeNull();
    expect(slabs_of(column([null, 20e-6], 0, 'wood'), 300)[0]!.height).toBe(0);
  });
  it('stops above the wood', () => {
    expect(stop_row(column([1e-5], 1e-5, 'wood'))).toBe(1);
    expect(stop_row(column([1e-5], 1e-5, 'something else'))).toBe(-1);
  });
  it('never draws the stop below the coats', () => {
    const reading = column([10e-6], 50e-6, 'wood');
    expect(stop_line(reading, 500)).toBeLessThanOrEqual(slabs_of(reading, 500)[1]!.top + 1e-9);
  });
});
