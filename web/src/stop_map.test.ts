import { expect, test } from 'vitest';
import { colours_of_map, stop_colours, wear_colours } from './stop_map';

test('a vertex gets the colour of its place in the legend', () => {
  expect([...colours_of_map(new Uint8Array([0, 6, 2]), stop_colours)]).toEqual([0x6d, 0x0d, 0x0d, 0x8c, 0x8c, 0x8c, 0xfc, 0x8d, 0x59]);
  expect(new Set(stop_colours).size).toBe(stop_colours.length);
  expect(new Set(wear_colours).size).toBe(wear_colours.length);
});
