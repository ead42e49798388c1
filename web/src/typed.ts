// Numbers and lists as people type them, with a decimal point or a decimal comma. What can be read two ways is never
// guessed: it stays as typed, and the form asks.
import type { Field } from './shape';

const space = /[\u00a0\u2009\u202f]/g; // between thousands, from a spreadsheet
const plain = /^[+-]?(\d+\.?\d*|\.\d+)(e[+-]?\d+)?$/i;
const value_of = (text: string) => (plain.test(text) ? Number(text) : undefined);

/** Every number that one word can mean: none, one, or two ("1,200" is 1200 or 1.2). */
export function readings_of(word: string): number[] {
  const text = word.trim().replace(space, '').replace(/^[\u2212\u2013]/, '-');
  const commas = text.split(',').length - 1;
  const points = text.split('.').length - 1;
  const grouped = (mark: string) => new RegExp(`^[+-]?[1-9]\\d{0,2}(\\${mark}\\d{3})+$`);
  const found: (number | undefined)[] = [];
  if (commas === 0 && points > 1) {
    if (grouped('.').test(text)) found.push(value_of(text.replaceAll('.', '')));
  } else if (commas === 0) {
    found.push(value_of(text));
  } else if (points === 0) {
    if (grouped(',').test(text)) found.push(value_of(text.replaceAll(',', '')));
    if (commas === 1) found.push(value_of(text.replace(',', '.')));
  } else {
    // Both marks: the last one is the decimal mark, the other stands between thousands.
    const decimal = text.lastIndexOf(',') > text.lastIndexOf('.') ? ',' : '.';
    const [whole = '', ...rest] = text.split(decimal);
    if (rest.length === 1 && grouped(decimal === ',' ? '.' : ',').test(whole)) found.push(value_of(`${whole.replace(/[.,]/g, '')}.${rest[0]}`));
  }
  return found.filter((one): one is number => one !== undefined);
}

/** The number, or the text as it is: for the form to ask about, or for the program to refuse. */
export function number_in(text: string): Field {
  const joined = text.trim().replace(/(?<=\d) (?=\d{3}(?!\d))/g, '');
  const readings = readings_of(joined);
  return readings.length === 1 ? readings[0]! : text.trim();
}

/** What a list item typed as text may mean, where it is not clear: each choice is what the item becomes. */
export function choices_of(field: Field | undefined): Field[][] {
  if (typeof field !== 'string') return [];
  const as_one = readings_of(field).map((one) => [one]);
  const parts = field.split(',').map((part) => readings_of(part));
  const as_many = field.includes(',') && parts.every((part) => part.length === 1) ? [parts.map((part) => part[0]!)] : [];
  return [...as_one, ...as_many];
}

/** "1, 2.5 3" and "1; 2,5; 3" are 1, 2.5 and 3. A comma inside a word is its decimal mark, or one of several between
 * numbers; where both can be, and where a word is no number, it stays as typed. */
export function numbers_in(text: string): Field[] {
  const words = text.split(/[\s;]+/).map((word) => word.replace(/,+$/, '').replace(/^,+/, '')).filter(Boolean);
  return words.flatMap((word): Field[] => {
    const choices = choices_of(word);
    const sure = choices.length === 1 ? choices[0]! : undefined;
    if (sure) return sure;
    // "0,5" begins with a nought, so it is one number; "1,5" may be two.
    return /^[+-]?0,\d+$/.test(word) ? [readings_of(word)[0]!] : [word];
  });
}

/** One text a line, or between commas or semicolons; quotes hold one together that has a comma in it. */
export function texts_in(text: string): string[] {
  const found = text.match(/"[^"\n]*"|[^,;\n]+/g) ?? [];
  return found.map((one) => one.trim().replace(/^"(.*)"$/, '$1').trim()).filter(Boolean);
}
export const texts_shown = (list: Field[]): string =>
  list.map((one) => (/[,;]/.test(String(one)) ? `"${one}"` : String(one))).join('\n');
