/** The forms in which operators speak a pressure. */
export type NumberForm = 'digits' | 'oh-digits' | 'cardinal' | 'cardinal-and' | 'hundred-less';

const DIGITS = ['zero', 'one', 'two', 'three', 'four', 'five', 'six', 'seven', 'eight', 'nine'] as const;
const TEENS = [
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
const TENS = ['', '', 'twenty', 'thirty', 'forty', 'fifty', 'sixty', 'seventy', 'eighty', 'ninety'] as const;

/** A whole or half number from 0 to 199.5 in words. Throws outside that range: a mistake in a script. */
export function spokenNumber(value: number, form: NumberForm): string {
  const whole = Math.floor(value);
  const half = value - whole;
  if (!(value >= 0 && value < 200) || (half !== 0 && half !== 0.5)) throw new Error(`no operator says ${value}`);
  return half === 0 ? wholeNumber(whole, form) : `${wholeNumber(whole, form)} and a half`;
}

function wholeNumber(whole: number, form: NumberForm): string {
  const rest = whole % 100;
  switch (form) {
    case 'digits':
    case 'oh-digits': {
      const zero = form === 'oh-digits' && whole > 9 ? 'oh' : 'zero';
      return Array.from(String(whole), (digit) => (digit === '0' ? zero : DIGITS[Number(digit)])).join(' ');
    }
    case 'cardinal':
    case 'cardinal-and':
      if (whole < 100) return belowHundred(whole);
      return rest === 0 ? 'one hundred' : `one hundred ${form === 'cardinal-and' ? 'and ' : ''}${belowHundred(rest)}`;
    case 'hundred-less':
      // "one oh five", "one twenty five"; "one hundred" has no shorter form.
      if (whole < 100) return belowHundred(whole);
      if (rest === 0) return 'one hundred';
      return rest < 10 ? `one oh ${belowHundred(rest)}` : `one ${belowHundred(rest)}`;
  }
}

function belowHundred(value: number): string {
  if (value < 10) return DIGITS[value] ?? '';
  if (value < 20) return TEENS[value - 10] ?? '';
  const tens = TENS[Math.floor(value / 10)] ?? '';
  return value % 10 === 0 ? tens : `${tens} ${DIGITS[value % 10] ?? ''}`;
}
