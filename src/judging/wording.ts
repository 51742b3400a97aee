import { compare } from './compare.ts';
import type { AppliedLimit, ConditionReport, FigureUnit, Source } from './result.ts';

export const UNIT_WORDS: Readonly<Record<FigureUnit, string>> = {
  psi: 'psi',
  kPa: 'kPa',
  'psi/min': 'psi a minute',
  'kPa/min': 'kPa a minute',
  s: 's',
  min: 'min',
  'l/min': 'l a minute',
  cfm: 'cfm',
  '%': '%',
  '32nds': '32nds of an inch',
};

/** A number for a sentence: one decimal at most, or as many as it takes to tell it from `beside`, up to four. */
export function shown(value: number, beside: number = value): string {
  if (value === beside && Number.isInteger(value)) return String(value);
  const differs = compare(value, beside) !== 0;
  for (let decimals = 1; decimals < 4; decimals += 1) {
    if (!differs || value.toFixed(decimals) !== beside.toFixed(decimals))
      return String(Number(value.toFixed(decimals)));
  }
  return String(Number(value.toFixed(4)));
}

/** "2 psi a minute" (still inside), "less than 2 psi a minute", "55 to 75 psi", "at least 85 psi", "about 20 to 45 psi". */
export function limitWords({
  min,
  max,
  strict,
  unit,
  about,
}: Pick<AppliedLimit, 'min' | 'max' | 'strict' | 'unit' | 'about'>): string {
  const words = UNIT_WORDS[unit];
  const prefix = about === true ? 'about ' : '';
  if (min !== undefined && max !== undefined) {
    return strict === true
      ? `more than ${prefix}${shown(min)} and less than ${shown(max)} ${words}`
      : `${prefix}${shown(min)} to ${shown(max)} ${words}`;
  }
  if (max !== undefined) return `${strict === true ? 'less than ' : ''}${prefix}${shown(max)} ${words}`;
  return `${strict === true ? 'more than' : 'at least'} ${prefix}${shown(min ?? 0)} ${words}`;
}

/** "engine off: “engine off” at 4:12", "ground level: assumed", "engine off: contradicted by “engine started” at 5:01". */
export function conditionLine({ what, state, by }: ConditionReport): string {
  const called = by === undefined ? '' : `“${by.heard}” at ${clockText(by.at)}`;
  switch (state) {
    case 'known':
      return `${what}: ${called === '' ? 'as called' : called}`;
    case 'assumed':
      return `${what}: assumed`;
    case 'unknown':
      return `${what}: not known`;
    case 'contradicted':
      return `${what}: ${called === '' ? 'not so, as called' : `contradicted by ${called}`}`;
  }
}

/** Minutes and seconds of a check. */
function clockText(ms: number): string {
  const whole = Math.floor(ms / 1000);
  return `${Math.floor(whole / 60)}:${String(whole % 60).padStart(2, '0')}`;
}

/** "common practice", "49 CFR 571.121 S5.1.1", "NFPA 1911-2007 ch. 6, from a secondary source". */
export function sourceWords({ document, section, sure }: Source): string {
  if (sure === 'practice') return 'common practice';
  const named = section === undefined ? document : `${document} ${section}`;
  if (sure === 'secondary') return `${named}, from a secondary source`;
  if (sure === 'memory') return `${named}, from memory, not confirmed`;
  return named;
}
