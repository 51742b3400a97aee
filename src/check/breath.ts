import type { CabPart } from '../judging/condition.ts';
import { isOfCab } from '../judging/condition.ts';
import { without } from '../units/without.ts';
import { movedBy, says, speaksAgainst, type Cab, type Fact } from './cab.ts';
import { conditionsOf, isSo } from './conditions.ts';
import type { CalloutEvent, StartEvent } from './event.ts';
import { cuesOf } from './needs.ts';
import type { Step } from './plan.ts';
import type { CheckState } from './state.ts';
import { restsOn } from './too-soon.ts';

/** The two halves of a breath that says one thing and then another: each is heard as a callout of its own, in the order spoken. */
type Halves = readonly [CalloutEvent, CalloutEvent];

/**
 * A breath in which cues follow the needles that these were not read under: those of another step ("both at one twenty, brake applied"),
 * and those that only now make a condition of the hold or window known ("both at one twenty, engine off"). Undefined when the callout is
 * not such.
 */
export function needlesFirst({ cab, start }: CheckState, step: Step, event: CalloutEvent): Halves | undefined {
  const { meaning } = event;
  if (meaning?.reading === undefined || meaning.before === undefined) return undefined;
  const own = cuesOf(step);
  const { cues, before } = meaning;
  const known = movedBy(cab, cues.slice(0, before), event);
  const from = cues.findIndex(
    (cue, place) => place >= before && (!own.includes(cue) || makesKnown(cue, step, start, known)),
  );
  if (from < 0) return undefined;
  return [
    { ...event, meaning: { ...meaning, cues: cues.slice(0, from) } },
    { ...event, at: event.end, meaning: { ...without(meaning, 'reading', 'before'), cues: cues.slice(from) } },
  ];
}

/** True for a cue that says what must be known before a hold or a window begins, and is not yet. */
function makesKnown(cue: string, step: Step, start: StartEvent, cab: Cab): boolean {
  if (step.kind !== 'hold' && step.kind !== 'build') return false;
  return conditionsOf(step, start).some(
    (condition) =>
      isOfCab(condition) &&
      condition.known === 'must' &&
      says(cue, condition.part, condition.is) &&
      !isSo(cab, condition.part, condition.is),
  );
}

/**
 * A breath in which something is seen or felt, and then the cab is said to be otherwise than it was until then, or what that rests on: "brakes
 * released, rig held, parking brake set", "rig held, in drive". The outcome is that of the cab before. Undefined when the callout is not such.
 */
export function outcomeFirst(
  { cab, progress, start }: CheckState,
  step: Step,
  event: CalloutEvent,
): Halves | undefined {
  const { meaning } = event;
  const at = meaning?.cues.findIndex((cue) => step.outcomes?.includes(cue) === true) ?? -1;
  if (meaning === undefined || meaning.reading !== undefined || at < 0) return undefined;
  const before = movedBy(cab, meaning.cues.slice(0, at), event);
  const resting = restsOn(step, start).filter((cue) => !progress.cues.includes(cue));
  const later = meaning.cues.slice(at + 1).filter((cue) => resting.includes(cue) || isOtherwise(cue, before));
  if (later.length === 0) return undefined;
  const cues = meaning.cues.filter((cue, place) => place <= at || !later.includes(cue));
  return [
    { ...event, meaning: { ...meaning, cues } },
    { ...event, at: event.end, meaning: { ...meaning, cues: later } },
  ];
}

/** True when something known of the cab cannot be as it is once the cue is true. */
function isOtherwise(cue: string, cab: Cab): boolean {
  return (Object.entries(cab) as [CabPart, Fact][]).some(([part, { is }]) => speaksAgainst(cue, part, is));
}
