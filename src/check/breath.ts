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
  const isTimed = step.kind === 'hold' || step.kind === 'build';
  const from = cues.findIndex(
    (cue, place) => place >= before && (!own.includes(cue) || (isTimed && makesKnown(cue, step, start, known))),
  );
  if (from < 0) return undefined;
  return [
    { ...event, meaning: { ...meaning, cues: cues.slice(0, from) } },
    { ...event, at: event.end, meaning: { ...without(meaning, 'reading', 'before'), cues: cues.slice(from) } },
  ];
}

/** True for a cue that says what must be known for the step to count, and is not yet. */
function makesKnown(cue: string, step: Step, start: StartEvent, cab: Cab): boolean {
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
  const at = meaning?.cues.findLastIndex((cue) => step.outcomes?.includes(cue) === true) ?? -1;
  if (meaning === undefined || at < 0) return undefined;
  const before = movedBy(cab, meaning.cues.slice(0, at), event);
  const resting = restsOn(step, start).filter((cue) => !progress.cues.includes(cue));
  const after = movedBy(before, meaning.cues.slice(at, at + 1), event);
  const isLater = (cue: string): boolean =>
    resting.includes(cue) || makesKnown(cue, step, start, before) || isOtherwise(cue, after);
  const from = meaning.cues.findIndex((cue, place) => place > at && isLater(cue));
  if (from < 0) return undefined;
  // Needles after those words are called under them.
  const areLater = meaning.before !== undefined && meaning.before > from;
  const plain = without(meaning, 'reading', 'before');
  return [
    { ...event, meaning: { ...(areLater ? plain : meaning), cues: meaning.cues.slice(0, from) } },
    {
      ...event,
      at: event.end,
      meaning: {
        ...(areLater ? { ...meaning, before: meaning.before - from } : plain),
        cues: meaning.cues.slice(from),
      },
    },
  ];
}

/** True when something known of the cab cannot be as it is once the cue is true. */
function isOtherwise(cue: string, cab: Cab): boolean {
  return (Object.entries(cab) as [CabPart, Fact][]).some(([part, { is }]) => speaksAgainst(cue, part, is));
}
