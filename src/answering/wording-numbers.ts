const ONES = [
  'zero',
  'one',
  'two',
  'three',
  'four',
  'five',
  'six',
  'seven',
  'eight',
  'nine',
  'ten',
  'eleven',
  'twelve',
  'thirteen',
  'fourteen',
  'fifteen',
  'sixteen',
  'seventeen',
  'eighteen',
  'nineteen',
] as const;
const TENS = ['twenty', 'thirty', 'forty', 'fifty', 'sixty', 'seventy', 'eighty', 'ninety'] as const;

/** Every word that a number can have. */
export const NUMBER_WORDS = [...ONES, ...TENS, 'hundred', 'point', 'minus'] as const;
export type NumberWord = (typeof NUMBER_WORDS)[number];

/** A pressure as the trade says it, digit by digit: 125 is "one two five". Rounded to a tenth, which is left out when 0. */
export function digits(value: number): NumberWord[] {
  return spoken(value, (whole) => digitByDigit(whole));
}

/** Begins a phrase that is spoken faster than others. */
export const QUICK = 'quick ';
const QUICKLY = [...ONES.slice(0, 10), 'point', 'minus'] as const;
const QUICK_PIECES = ['both', 'psi', 'hold', 'window', 'check complete'] as const;
export const QUICK_WORDS: readonly string[] = [...QUICKLY, ...QUICK_PIECES].map((word) => `${QUICK}${word}`);

/** The same as `digits`, spoken fast: what is only read back. */
export function quickDigits(value: number): string[] {
  return digits(value).map((word) => `${QUICK}${word}`);
}

/** A word that says nothing new to who has called the needles, spoken fast. */
export function quickly(word: (typeof QUICK_PIECES)[number]): string {
  return `${QUICK}${word}`;
}

/** A phrase without the mark of its speed. */
export function plainWords(phrase: string): string {
  return phrase.startsWith(QUICK) ? phrase.slice(QUICK.length) : phrase;
}

/** A small amount or a time: 62 is "sixty two". Rounded to a tenth, which is left out when 0; from 1000 on digit by digit. */
export function cardinal(value: number): NumberWord[] {
  return spoken(value, wholeCardinal);
}

function spoken(value: number, whole: (value: number) => NumberWord[]): NumberWord[] {
  const tenths = Math.round(Math.abs(value) * 10);
  const words = whole(Math.floor(tenths / 10));
  const rest = tenths % 10;
  return [
    ...(value < 0 && tenths > 0 ? (['minus'] as const) : []),
    ...words,
    ...(rest === 0 ? [] : (['point', one(rest)] as const)),
  ];
}

function wholeCardinal(value: number): NumberWord[] {
  if (value >= 1000) return digitByDigit(value);
  if (value >= 100) {
    const rest = value % 100;
    return [one(Math.floor(value / 100)), 'hundred', ...(rest === 0 ? [] : wholeCardinal(rest))];
  }
  if (value < ONES.length) return [one(value)];
  const ten = TENS[Math.floor(value / 10) - 2] ?? 'ninety';
  return value % 10 === 0 ? [ten] : [ten, one(value % 10)];
}

function digitByDigit(value: number): NumberWord[] {
  return Array.from(String(value), (digit) => one(Number(digit)));
}

function one(value: number): NumberWord {
  return ONES[value] ?? 'zero';
}
