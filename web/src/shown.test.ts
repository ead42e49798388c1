import { describe, expect, it } from 'vitest';
import { band_words, css_colour, numerals_and_unit, typeset } from './shown';
import type { Figure } from './types';

const figure = (metric: string, unit: string, us: string, us_unit: string) =>
  ({ metric: { text: metric, unit, value: null, band: '' }, us: { text: us, unit: us_unit, value: null, band: '' } }) as unknown as Figure;

describe('shown text', () => {
  it('is split for large numerals and never reworded', () => {
    const depth = figure('38 um', 'um', '1.5 mil', 'mil');
    expect(numerals_and_unit(depth, 'metric')).toEqual({ numerals: '38', unit: '\u00b5m' });
    expect(numerals_and_unit(depth, 'us')).toEqual({ numerals: '1.5', unit: 'mil' });
    expect(numerals_and_unit(figure('not known', 'um', 'not known', 'mil'), 'us')).toEqual({ numerals: 'not known', unit: '' });
    expect(numerals_and_unit(figure('83%', '%', '83%', '%'), 'metric')).toEqual({ numerals: '83', unit: '%' });
    expect(numerals_and_unit(figure('2.1', '', '2.1', ''), 'metric')).toEqual({ numerals: '2.1', unit: '' });
  });
  it('leaves a band out that tells nothing', () => {
    const banded = (band: string) => ({ metric: { text: '48 h', unit: 'h', value: 48, band } }) as unknown as Figure;
    expect(band_words(banded('48 h to 48 h'), 'metric')).toBe('');
    expect(band_words(banded(''), 'metric')).toBe('');
    expect(band_words(banded('47 h to 49 h'), 'metric')).toBe('47 h to 49 h');
  });
  it('is set as a page sets units, and words stay words', () => {
    expect(typeset('12.5 cm2 at 21 degC, 30 m3/h, 3 um to 5 um')).toBe('12.5 cm\u00b2 at 21 \u00b0C, 30 m\u00b3/h, 3 \u00b5m to 5 \u00b5m');
    expect(typeset('gum arabic, degreased')).toBe('gum arabic, degreased');
  });
  it('clips colours the screen cannot show', () => {
    expect(css_colour({ r: 1.2, g: -0.1, b: 0.5 })).toBe('rgb(255 0 128)');
  });
});
