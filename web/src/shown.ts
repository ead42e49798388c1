// Text a person reads, as the server worded it. Nothing is converted here.
import type { Figure, Input, Origin, Rgb, Units } from './types';

/** "38 um" -> big numerals "38" and small unit "um"; words such as "not known" stay whole. */
export function numerals_and_unit(figure: Figure | Input, units: Units): { numerals: string; unit: string } {
  const { text, unit } = figure[units];
  return unit && text.endsWith(unit)
    ? { numerals: text.slice(0, text.length - unit.length).trim(), unit: unit }
    : { numerals: text, unit: '' };
}

/** The band as worded; "" where both ends read the same, which tells nothing. */
export function band_words(figure: Figure, units: Units): string {
  const { band } = figure[units];
  const [low, high] = band.split(' to ');
  return low === high ? '' : band;
}

const channel = (value: number) => Math.round(Math.min(1, Math.max(0, value)) * 255);
export const css_colour = ({ r, g, b }: Rgb) => `rgb(${channel(r)} ${channel(g)} ${channel(b)})`;

const origins: Record<Origin, string> = { original: 'original', later: 'later', this_plan: 'this plan' };
export const origin_word = (origin: Origin) => origins[origin];

/** "upper_bout" -> "upper bout" */
export const as_words = (key: string) => key.replaceAll('_', ' ');
