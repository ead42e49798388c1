// Where the coats of a column lie in a drawing to scale, and where the rows beside it are joined to them.
import type { ColumnReading } from './types';

export interface Slab {
  name: string;
  top: number; // in the drawing's own length
  height: number;
  present: boolean;
}

/** Share of the height that is wood, so that the eye has something to stand on. */
const wood_share = 0.14;

/** Coats to scale over `height`, air side first; a coat that is gone has no height. */
export function slabs_of(column: ColumnReading, height: number): Slab[] {
  const total = column.coats.reduce((sum, coat) => sum + thickness(coat.left.value), 0);
  const room = total > 0 ? height * (1 - wood_share) : 0;
  let top = 0;
  const slabs = column.coats.map((coat) => {
    const part = total > 0 ? (thickness(coat.left.value) / total) * room : 0;
    const slab = { name: coat.name, top, height: part, present: part > 0 };
    top += part;
    return slab;
  });
  return [...slabs, { name: 'wood', top, height: height - top, present: true }];
}

/** How far down the drawing the stop lies; null: not known. */
export function stop_line(column: ColumnReading, height: number): number | null {
  const depth = column.stops[0]?.depth.value ?? null;
  if (depth === null || !Number.isFinite(depth)) return null;
  const total = column.coats.reduce((sum, coat) => sum + thickness(coat.left.value), 0);
  if (total <= 0) return 0;
  return Math.min(1, Math.max(0, depth) / total) * height * (1 - wood_share);
}

/** Row before which the stop stands: the coat it protects, or the wood row at the end; -1: no such coat. */
export function stop_row(column: ColumnReading): number {
  const before = column.stops[0]?.before;
  if (before === undefined) return -1;
  const row = column.coats.findIndex((coat) => coat.name === before);
  return row >= 0 ? row : before === 'wood' ? column.coats.length : -1;
}

const thickness = (value: number | null) => (value !== null && value > 0 ? value : 0);
