// Text a person reads, as the server worded it. Nothing is converted here.
import type { Figure, Input, Origin, Rgb, Units } from './types';

/** "38 um" -> "38 µm", "12 cm2" -> "12 cm²": units as a page sets them. */
export const typeset = (text: string) =>
  text
    .replace(/`([^`]*)`/g, '\u201c$1\u201d')
    .replace(/\bDelta E\b/g, '\u0394E')
    .replace(/\bum\b/g, '\u00b5m')
    .replace(/\bdeg([CF])\b/g, '\u00b0$1')
    .replace(/\b(c?m|ft)([23])\b/g, (_, length, power) => length + (power === '2' ? '\u00b2' : '\u00b3'));

/** "38 um" -> big numerals "38" and small unit "um"; words such as "not known" stay whole. */
export function numerals_and_unit(figure: Figure | Input, units: Units): { numerals: string; unit: string } {
  const { text, unit } = figure[units];
  return unit && text.endsWith(unit)
    ? { numerals: text.slice(0, text.length - unit.length).trim(), unit: typeset(unit) }
    : { numerals: typeset(text), unit: '' };
}

/** The band as worded; "" where both ends read the same, which tells nothing. */
export function band_words(figure: Figure, units: Units): string {
  const { band } = figure[units];
  const [low, high] = band.split(' to ');
  return low === high ? '' : typeset(band);
}

const channel = (value: number) => Math.round(Math.min(1, Math.max(0, value)) * 255);
export const css_colour = ({ r, g, b }: Rgb) => `rgb(${channel(r)} ${channel(g)} ${channel(b)})`;

const origins: Record<Origin, string> = { original: 'original', later: 'later', this_plan: 'this plan' };
export const origin_word = (origin: Origin) => origins[origin];

/** "upper_bout" -> "upper bout" */
export const as_words = (key: string) => key.replaceAll('_', ' ');

/** The unit of a key as a heading says it. */
export const unit_words = (unit: string) => ({ a: 'years', d: 'days', h: 'hours', pct: '%' })[unit] ?? typeset(unit);
