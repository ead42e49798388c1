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
  return stem.replace(/_g_cm2$/, ', g on 1 cm\u00b2').replaceAll('_', ' ').replace(/\bdelta e\b/, '\u0394E');
}

/** What a new item of a list starts with: nothing is said for anybody, not even a nought. */
export const blank = (shape: Shape): Field => (shape.is === 'list' ? [] : shape.is === 'table' ? {} : '');

const as_told = (text: string) => text.replaceAll('_', ' ');
/** A value in a few words: "9 in 110 mm" begins as "counted 9", "over 110 mm". */
function told(key: Key, field: Field, shape: Shape): string {
  if (typeof field === 'boolean') return field ? name_of(key) : '';
  if (typeof field === 'number') return `${name_of(key)} ${field}${key.unit ? ` ${key.unit === 'pct' ? '%' : key.unit === 'a' ? 'years' : key.unit}` : ''}`;
  if (typeof field === 'string') return shape.is === 'word' ? as_told(field) : field;
  if (Array.isArray(field)) {
    if (!field.length) return '';
    if (field.every((one) => !is_table(one) && !Array.isArray(one)))
      return field.length <= 5 ? `${name_of(key)} ${field.map((one) => as_told(String(one))).join(', ')}` : `${field.length} values of ${name_of(key)}`;
    return `${name_of(key)}: ${field.length}`;
  }
  return is_table(field) ? summary_of(shape, field) : '';
}

/** What has been filled in, in one line; `without`: a key that is said elsewhere. */
export function summary_of(shape: Shape, value: Fields, without = ''): string {
  return (shape.keys ?? [])
    .filter((key) => key.key !== without && value[key.key] !== undefined && value[key.key] !== null && value[key.key] !== '')
    .map((key) => told(key, value[key.key]!, key.shape))
    .filter(Boolean)
    .join(' · ');
}

const has_usual = (key: Key) =>
  key.unset !== undefined && key.unset !== null && key.unset !== '' && !(typeof key.unset === 'object');

/** The keys a form shows at once: what must be given, what is given and, in a table with nothing in it yet, what has no
 * usual value. The rest can be asked for. */
export function keys_asked(shape: Shape, value: Fields): { shown: Key[]; more: Key[] } {
  const keys = (shape.keys ?? []).filter((key) => key.shape.is !== 'choice');
  const given = (key: Key) => value[key.key] !== undefined;
  const begun = keys.some((key) => !key.required && given(key));
  const switches = (key: Key) => key.shape.is === 'list' && key.shape.of?.[0]?.is === 'word';
  const is_shown = (key: Key) => key.required || given(key) || switches(key) || (!begun && !has_usual(key));
  return { shown: keys.filter(is_shown), more: keys.filter((key) => !is_shown(key)) };
}

/** Lists whose items all name the part they were seen on: evidence, better read part by part. */
export function evidence_lists(shape: Shape): Key[] {
  const lists = (shape.keys ?? []).filter((key) => key.shape.is === 'list' && key.shape.of?.[0]?.keys?.some((k) => k.key === 'name'));
  return lists.length >= 3 ? lists : [];
}

export interface Evidence { key: Key; at: number; item: Fields }
/** Everything seen on each part, parts in the order in which they are first named. */
export function by_part(lists: Key[], value: Fields): { part: string; seen: Evidence[] }[] {
  const parts: { part: string; seen: Evidence[] }[] = [];
  for (const key of lists)
    for (const [at, item] of (Array.isArray(value[key.key]) ? (value[key.key] as Field[]) : []).entries()) {
      if (!is_table(item)) continue;
      const name = String(item.name ?? '');
      const part = parts.find((one) => one.part === name);
      if (part) part.seen.push({ key, at, item });
      else parts.push({ part: name, seen: [{ key, at, item }] });
    }
  return parts;
}
