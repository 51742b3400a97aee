import { isOfCab } from '../judging/condition.ts';
import { ADVERSE_CUES, CAB_CUES, cuesAgainst, cuesAgainstKnown, cuesRenewing, isAdverse } from './cab.ts';
import { conditionsOf } from './conditions.ts';
import { denialsOf, ruleOf } from './denied.ts';
import { ITEMS_RULE, placeRule } from '../items/items-grammar.ts';
import { placeOf, placesOf } from './places.ts';
import { currentStep, cuesOf, isFitted } from './needs.ts';
import type { Step } from './plan.ts';
import type { CheckState } from './state.ts';

/**
 * The grammar rules that the state listens for: an opening of `grammars/steps.jsgf` (which has the commands in it) and
 * the cue ids that fill it.
 */
export function listensFor(state: CheckState): string[] {
  return unique(rulesFor(state).map(ruleOf));
}

function rulesFor(state: CheckState): string[] {
  const step = currentStep(state);
  const walk = walkRules(state);
  if (walk !== undefined) return walk;
  // In a recording a defect counts that is called in a pause or after the end.
  const items = state.start.asking === 'assume' && placesOf(state.start.plan).length > 0 ? [ITEMS_RULE] : [];
  switch (state.phase) {
    case 'done':
      return state.start.asking === 'ask' ? [] : ['anything', 'denied', ...items];
    case 'paused':
      return ['confirm', ...CAB_CUES, ...ADVERSE_CUES, ...items];
    case 'skipping':
      return ['reasons', ...(step === undefined ? ['commands'] : [...opening(step, cuesOf(step)), ...denialsOf(step)])];
    case 'noting':
      return ['anything'];
    case 'asking':
      return step === undefined
        ? ['commands']
        : ['reading', 'repaired', ...cuesOf(step), ...alsoHeard(state, step), ...denialsOf(step)];
    case 'listening':
    case 'holding':
    case 'building':
    case 'wondering':
    case 'stopping':
      if (step === undefined) return ['commands'];
      // The corrected needles may belong to the step before, and this one may take none.
      return [
        state.restating === undefined ? step.kind : 'reading',
        ...(isAfterNeedles(state) ? ['repaired'] : []),
        ...cuesOf(step),
        ...alsoHeard(state, step),
        ...denialsOf(step),
      ];
  }
}

/**
 * In a place of the walk: what is said there, at the place before it, which may be said late, and at the next, to which one may have walked. In a recording nobody can be asked to say
 * it again, so that every item is heard everywhere.
 */
function walkRules({ start, index, phase, records }: CheckState): string[] | undefined {
  const place = placeOf(start.plan.steps[index]);
  if (place === undefined) return undefined;
  const before = placeOf(start.plan.steps[records.at(-1)?.index ?? -1]);
  const next = placeOf(start.plan.steps[index + 1]);
  const here = [place, before, next].flatMap((each) => (each === undefined ? [] : [placeRule(each.id)]));
  const rules = start.asking === 'assume' ? [ITEMS_RULE] : here;
  if (phase === 'skipping') return ['reasons', ...rules];
  return phase === 'noting' ? ['anything', ...rules] : rules;
}

function opening(step: Step, cues: readonly string[]): string[] {
  return [step.kind, ...cues];
}

function unique(rules: readonly string[]): string[] {
  return [...new Set(rules)];
}

/**
 * Besides the step's own cues: those that would contradict what it measures or what is known of the cab, which later steps rest on, those
 * with which the operator goes on, and what may have gone wrong in the steps behind, with what it would be corrected to.
 */
function alsoHeard({ start, index, records, cab }: CheckState, step: Step): string[] {
  const next = start.plan.steps.find((each, at) => at > index && isFitted(each, start.rig));
  const against = conditionsOf(step, start).flatMap((condition) =>
    isOfCab(condition)
      ? [...cuesAgainst(condition.part, condition.is), ...cuesRenewing(condition.part, condition.is)]
      : [],
  );
  const behind = records.flatMap((record) => {
    const outcomes = record.outcome === 'judged' ? (start.plan.steps[record.index]?.outcomes ?? []) : [];
    return isAdverse(record.progress.outcome?.cue) ? outcomes : outcomes.filter(isAdverse);
  });
  // In a recording nobody can be asked, so that nothing that could matter is passed over.
  const whatever = start.asking === 'assume' ? [...CAB_CUES, ...ADVERSE_CUES] : cuesAgainstKnown(cab);
  return [...against, ...(next === undefined ? [] : cuesOf(next)), ...behind, ...whatever];
}

/** The callout before had needles: they may be repaired in the next breath. */
function isAfterNeedles({ callouts }: CheckState): boolean {
  const last = callouts.at(-1);
  return last?.taken === true && last.meaning?.reading !== undefined;
}
