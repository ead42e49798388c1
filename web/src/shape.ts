// What a request or an answer may hold, as the program describes it, and the blank that a form starts from.
export interface Shape {
  is: 'boolean' | 'integer' | 'number' | 'text' | 'word' | 'list' | 'table' | 'choice';
  name?: string;
  words?: string[];
  may_be_null?: boolean;
  of?: Shape[]; // list: of its items; choice: one a variant
  keys?: Key[]; // of a table
}

export interface Key {
  key: string;
  doc: string;
  unit: string; // bench unit; empty: none
  low?: number;
  high?: number;
  required?: boolean;
  unset?: Field; // what holds where the key is absent
  shape: Shape;
}

export type Field = null | boolean | number | string | Field[] | Fields;
export type Fields = { [key: string]: Field };

export const is_table = (field: Field | undefined): field is Fields =>
  typeof field === 'object' && field !== null && !Array.isArray(field);

/** "left_g" with unit "g" -> "left". */
export function name_of(key: Key): string {
  const ending = `_${key.unit.replace(/[ ./]/g, '_')}`;
  const stem = key.unit && key.key.endsWith(ending) ? key.key.slice(0, -ending.length) : key.key;
  return stem.replaceAll('_', ' ').replace(/\bdelta e\b/, '\u0394E');
}

/** What a new item of a list starts with: only what must be given. */
export function blank(shape: Shape): Field {
  switch (shape.is) {
    case 'boolean': return false;
    case 'integer':
    case 'number': return 0;
    case 'word': return shape.words?.[0] ?? '';
    case 'list': return [];
    case 'table': return Object.fromEntries((shape.keys ?? []).filter((k) => k.required).map((k) => [k.key, blank(k.shape)]));
    default: return '';
  }
}

/** "1, 2.5 3" -> [1, 2.5, 3]; a word that is no number stays, so that the program can say so. */
export const numbers_in = (text: string): Field[] =>
  text.split(/[\s,;]+/).filter(Boolean).map((word) => (Number.isFinite(Number(word)) ? Number(word) : word));
