import { compare, convert, inFirstUnit } from './compare.ts';
import type { AppliedLimit, Figure, FigureName, Verdict } from './result.ts';
import { limitWords, shown, sourceWords, UNIT_WORDS } from './wording.ts';

/** A value to be held against the limits of its figure. */
export interface Subject {
  readonly figure: FigureName;
  /** "Primary", "The lower needle": begins the sentence of the verdict. */
  readonly label: string;
  readonly value: Figure;
  /** What happened, with the value as it is worded for this limit: "dropped 3 psi in 62 s, 2.9 psi a minute". */
  readonly told: (value: string) => string;
}

/** One subject against one bound of one limit. Value, bound, margin and uncertainty are in the limit's unit. */
export interface Assessment {
  readonly subject: Subject;
  readonly limit: AppliedLimit;
  readonly verdict: Exclude<Verdict, 'not judged'>;
  readonly value: number;
  readonly bound: number;
  /** Distance to the bound; negative when outside. */
  readonly margin: number;
  readonly uncertainty: number;
}

/**
 * The subject against each bound of the limit, unrounded and in the limit's own unit. Outside fails; inside by less
 * than the expanded uncertainty is marginal.
 */
export function assess(subject: Subject, limit: AppliedLimit): readonly Assessment[] {
  const value = convert(subject.value.value, subject.value.unit, limit.unit);
  const uncertainty = convert(subject.value.uncertainty, subject.value.unit, limit.unit);
  const against = (bound: number, distance: number): Assessment => {
    const side = compare(value, bound);
    const margin = side === 0 ? 0 : distance;
    const outside = side === 0 ? limit.strict === true : distance < 0;
    const verdict = outside ? 'fail' : compare(margin, uncertainty) < 0 ? 'marginal' : 'pass';
    return { subject, limit, verdict, value, bound, margin, uncertainty };
  };
  return [
    ...(limit.min === undefined ? [] : [against(limit.min, value - limit.min)]),
    ...(limit.max === undefined ? [] : [against(limit.max, limit.max - value)]),
  ];
}

/** Verdicts from the best to the worst. */
export const BADNESS: Readonly<Record<Verdict, number>> = { fail: 3, 'not judged': 2, marginal: 1, pass: 0 };

/** The assessment that decides: the worst verdict, and within it the smallest margin, compared in psi and in seconds. */
export function worst(assessments: readonly Assessment[]): Assessment | undefined {
  let found: Assessment | undefined;
  for (const each of assessments) if (found === undefined || isWorse(each, found)) found = each;
  return found;
}

function isWorse(one: Assessment, other: Assessment): boolean {
  const by = BADNESS[one.verdict] - BADNESS[other.verdict];
  return by === 0 ? inFirstUnit(one.margin, one.limit.unit) < inFirstUnit(other.margin, other.limit.unit) : by > 0;
}

/** The sentence of a verdict: what was measured, against which limit, from which source. */
export function reasonOf({ subject, limit, verdict, value, bound, uncertainty }: Assessment): string {
  const words = UNIT_WORDS[limit.unit];
  const told = `${subject.label} ${subject.told(`${shown(value, bound)} ${words}`)}`;
  const rule = `limit ${limitWords(limit)} (${sourceWords(limit.source)})`;
  if (verdict !== 'marginal') return `${told}; ${rule}.`;
  return `${told}; ${rule}, inside it by less than the reading error of ${shown(uncertainty)} ${words}.`;
}
