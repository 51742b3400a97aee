import type { Step } from '../check/plan.ts';
import type { AppliedLimit, Figure, FigureName, FigureUnit, StepResult } from '../judging/result.ts';
import { cardinal, digits } from './wording-numbers.ts';
import { cueWords, titleWords, type Fragment } from './wording-phrases.ts';

/** "Static leakage: fail. Secondary dropped four in sixty two seconds; limit two a minute." Only what is outside or close says its limit. */
export function wordVerdict(step: Step, result: StepResult): string[] {
  // A reading without a limit has been read back already.
  if (result.verdict === 'pass' && result.limits.length === 0 && step.kind !== 'observe') return [];
  const head = [titleWords(step.title), ':', result.noLimit === true ? 'no limit' : result.verdict, '.'];
  if (result.verdict === 'not judged') return [...head, ...(result.noLimit === true ? [] : notJudgedBecause(result))];
  return [...head, ...wordAgainstLimit(result)];
}

/**
 * "Secondary dropped four in sixty two seconds; limit two a minute." Empty where no figure decided. `briefly` leaves out what the operator
 * knows: the interval.
 */
export function wordAgainstLimit(result: StepResult, briefly = false): string[] {
  const decisive = result.margin?.figure;
  const figure = decisive === undefined ? undefined : result.figures[decisive];
  if (decisive === undefined || figure === undefined) return [];
  const limit = result.limits.find((candidate) => candidate.figure === decisive);
  const mixed = limit !== undefined && baseOf(limit.unit) !== baseOf(figure.unit);
  const value = wordFigure(decisive, figure, result, mixed, briefly);
  const bound = limit === undefined || result.verdict === 'pass' ? [] : [';', ...wordLimit(limit, mixed)];
  return [...value, ...bound, '.'];
}

function notJudgedBecause({ figures }: StepResult): Fragment[] {
  const rose = [figures.primaryDrop, figures.secondaryDrop].some((drop) => drop !== undefined && drop.value < 0);
  return [rose ? 'pressure rose' : 'the reason is on the screen', '.'];
}

const LABELS: Readonly<Partial<Record<FigureName, Fragment>>> = {
  cutOut: 'cut-out',
  cutIn: 'cut-in',
  differential: 'differential',
  warningAt: 'warning at',
  activationAt: 'activation at',
  primary: 'primary',
  secondary: 'secondary',
};

function wordFigure(
  name: FigureName,
  figure: Figure,
  { figures }: StepResult,
  withUnit: boolean,
  briefly: boolean,
): Fragment[] {
  if (name === 'buildUpTime') return ['build-up', 'took', ...cardinal(figure.value), 'seconds'];
  const rate = name === 'primaryRate' || name === 'secondaryRate';
  if (!rate) return [...label(name), ...digits(figure.value), ...unit(figure.unit, withUnit)];
  const circuit = name === 'primaryRate' ? 'primary' : 'secondary';
  const drop = figures[`${circuit}Drop`] ?? figure;
  const interval =
    figures.interval === undefined || briefly
      ? []
      : (['in', ...cardinal(Math.round(figures.interval.value)), 'seconds'] as const);
  return [circuit, 'dropped', ...cardinal(drop.value), ...unit(drop.unit, withUnit), ...interval];
}

function label(name: FigureName): Fragment[] {
  const words = LABELS[name];
  return words === undefined ? [] : [words];
}

function wordLimit({ min, max, strict, unit: limitUnit, figure }: AppliedLimit, withUnit: boolean): Fragment[] {
  const number = figure === 'buildUpTime' || limitUnit.endsWith('/min') ? cardinal : digits;
  const units = unit(limitUnit, withUnit);
  if (limitUnit.endsWith('/min') && max !== undefined) {
    return ['limit', ...(strict === true ? (['below'] as const) : []), ...number(max), ...units, 'a minute'];
  }
  if (min !== undefined && max !== undefined) return ['limit', ...number(min), 'to', ...number(max), ...units];
  if (max !== undefined) return ['limit', strict === true ? 'below' : 'at most', ...number(max), ...units];
  if (min !== undefined) return ['limit', strict === true ? 'above' : 'at least', ...number(min), ...units];
  return ['limit'];
}

function baseOf(figureUnit: FigureUnit): string {
  return figureUnit.replace('/min', '');
}

function unit(figureUnit: FigureUnit, said: boolean): Fragment[] {
  if (!said) return [];
  return baseOf(figureUnit) === 'kPa' ? ['kilopascals'] : baseOf(figureUnit) === 'psi' ? ['psi'] : [];
}

/** Cues as a list: "settled, brakes released". */
export function cueList(cues: readonly string[], last: ',' | 'or'): string[] {
  return cues.flatMap((cue, index) => [...(index === 0 ? [] : [last]), cueWords(cue)]);
}
