import { ToWords } from 'to-words';
import { describe, expect, it } from 'vitest';
import { parse } from '../../../src/grammar/parse.ts';
import { sampleMeaning, samples } from '../../../src/grammar/samples.ts';
import type { PressureUnit } from '../../../src/units/pressure.ts';
import { loadGrammar } from '../../support/grammar.ts';

const grammar = loadGrammar();
const speller = new ToWords({ localeCode: 'en-US' });
const DIGITS = ['zero', 'one', 'two', 'three', 'four', 'five', 'six', 'seven', 'eight', 'nine'];

/** The number that "primary …" is heard as. */
function heardAs(words: string, unit: PressureUnit): number | undefined {
  return parse(grammar, ['readings'], `primary ${words}`, unit)?.reading?.primary?.value;
}

function upTo(last: number, step = 1, first = 0): number[] {
  return Array.from({ length: Math.floor((last - first) / step) + 1 }, (_, index) => first + index * step);
}

function digitString(number: number): string {
  return String(number).replace(
    /\d(?=(.?))/g,
    (digit, next) => `${DIGITS[Number(digit)] ?? ''}${next === '' ? '' : ' '}`,
  );
}

// to-words 5, a general-purpose speller of numbers, says what the cardinals are.
function cardinal(number: number): string {
  return speller.convert(number).toLowerCase();
}

/** "One five" is no 15: it is mostly a "one five oh" or "one oh five" that an ear lost a figure of. */
function isInDigits(value: number): boolean {
  return value < 10 || value > 19;
}

const RANGES = [
  { unit: 'psi', rule: 'psi.number', values: [...upTo(159.5, 0.5), 160] },
  { unit: 'kPa', rule: 'kilopascals.number', values: upTo(1100) },
] as const;

describe.each(RANGES)('pressures in $unit', ({ unit, rule, values }) => {
  const last = values.at(-1) ?? 0;
  const whole = values.filter((value) => Number.isInteger(value));

  it('parse back to themselves in every form of the grammar', () => {
    const wrong: string[] = [];
    for (const { text, ops } of samples(grammar, { rules: [rule], unit }, 1)) {
      const meant = sampleMeaning({ text, ops: [{ do: 'unit', unit }, ...ops, { do: 'set', circuits: ['primary'] }] });
      if (heardAs(text, unit) !== meant.reading?.primary?.value) wrong.push(text);
    }
    expect(wrong).toEqual([]);
  });

  it('are exactly those of the dials, each reached', () => {
    const said = new Set<number | undefined>();
    for (const { text } of samples(grammar, { rules: [rule], unit }, 1)) said.add(heardAs(text, unit));
    expect([...said].sort((a, b) => Number(a) - Number(b))).toEqual(values);
  });

  it('are understood as a general speller of numbers says them, and no number past the end is', () => {
    expect(whole.map((value) => heardAs(cardinal(value), unit))).toEqual(whole);
    const past = upTo(last + 1500, 1, last + 1).map(cardinal);
    expect(past.filter((words) => heardAs(words, unit) !== undefined)).toEqual([]);
  });

  it('are understood digit by digit, and no number past the end is', () => {
    const inDigits = whole.filter(isInDigits);
    expect(inDigits.map((value) => heardAs(digitString(value), unit))).toEqual(inDigits);
    const past = upTo(last + 1500, 1, last + 1).map(digitString);
    expect(past.filter((words) => heardAs(words, unit) !== undefined)).toEqual([]);
  });

  it('are understood as transcripts write them', () => {
    expect(whole.map((value) => heardAs(String(value), unit))).toEqual(whole);
    expect(heardAs(String(last + 1), unit)).toBeUndefined();
  });
});

describe('the ways operators say numbers', () => {
  it('take no ten to nineteen digit by digit: a figure of a longer number may be lost', () => {
    expect(upTo(19, 1, 10).map((value) => heardAs(digitString(value), 'psi'))).toEqual(Array(10).fill(undefined));
  });

  it('take "and" after the hundred, and "a" for one', () => {
    const from101 = upTo(160, 1, 101);
    expect(from101.map((value) => heardAs(`one hundred and ${cardinal(value - 100)}`, 'psi'))).toEqual(from101);
    expect(from101.map((value) => heardAs(`a hundred ${cardinal(value - 100)}`, 'psi'))).toEqual(from101);
  });

  it('take the hundred unsaid: "one twenty five"', () => {
    const from110 = upTo(160, 1, 110);
    expect(from110.map((value) => heardAs(`one ${cardinal(value - 100)}`, 'psi'))).toEqual(from110);
  });

  it('take "oh" for a zero that is not the first digit', () => {
    const withZero = upTo(160, 1, 20).filter((value) => String(value).includes('0'));
    expect(withZero.map((value) => heardAs(digitString(value).replaceAll('zero', 'oh'), 'psi'))).toEqual(withZero);
  });

  it('take "niner" for nine', () => {
    const withNine = upTo(160).filter((value) => String(value).includes('9') && isInDigits(value));
    expect(withNine.map((value) => heardAs(digitString(value).replaceAll('nine', 'niner'), 'psi'))).toEqual(withNine);
  });

  it.each([
    ['eighty five and a half', 85.5],
    ['one oh five and a half', 105.5],
    ['one twenty point five', 120.5],
    ['zero and a half', 0.5],
    ['hundred', 100],
    ['a hundred and a half', 100.5],
    ['85.5', 85.5],
    ['120.0', 120],
    ['1 25', 125],
  ])('psi: "%s" is %d', (words, value) => {
    expect(heardAs(words, 'psi')).toBe(value);
  });

  it.each([
    ['eight fifty', 850],
    ['eight hundred and fifty', 850],
    ['ten fifty', 1050],
    ['ten oh five', 1005],
    ['eleven hundred', 1100],
    ['a thousand and five', 1005],
    ['1,050', 1050],
  ])('kPa: "%s" is %d', (words, value) => {
    expect(heardAs(words, 'kPa')).toBe(value);
  });

  it.each([
    'one sixty and a half',
    'one six five',
    'two hundred',
    'one hundred seventy',
    'twenty fifteen',
    'oh',
    'one hundred two hundred',
    '120.7',
    '085',
    '-5',
    '120%',
    '1 2 0 5',
  ])('psi: "%s" is no pressure', (words) => {
    expect(heardAs(words, 'psi')).toBeUndefined();
  });
});
