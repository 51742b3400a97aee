import { isAboutCab, movedBy, takenBack } from './cab.ts';
import { cueWords } from './cue-words.ts';
import { cuesIn, type CalloutEvent } from './event.ts';
import type { Say } from './flow.ts';
import { judged } from './judged.ts';
import { cuesOf } from './needs.ts';
import type { Step } from './plan.ts';
import { withStray } from './strays.ts';
import { tellsOfTrouble } from '../items/trouble.ts';
import { changed } from '../units/changed.ts';
import { without } from '../units/without.ts';
import {
  changedProgress,
  changedState,
  withTold,
  type CalloutRecord,
  type CheckState,
  type Progress,
  type StepRecord,
} from './state.ts';

const NOT = 'not-';

/** The cue that another says is not so, “not-cut-out”; undefined for one that denies nothing. */
export function deniedBy(cue: string): string | undefined {
  return cue.startsWith(NOT) ? cue.slice(NOT.length) : undefined;
}

/** The grammar rule that hears a cue; one that denies has its words in a rule of its own. */
export function ruleOf(cue: string): string {
  const denied = deniedBy(cue);
  return denied === undefined ? cue : `denied-${denied}`;
}

/** The grammar rules in which what a step waits for is denied: an ear that lacks them hears the good words. */
export function denialsOf(step: Step): string[] {
  return cuesOf(step).flatMap((cue) => (DENIABLE.has(cue) ? [`denied-${cue}`] : []));
}

/** Cues that the grammar has words for that deny them. */
const DENIABLE: ReadonlySet<string> = new Set([
  ...[
    'chocks-set',
    'walk-round-complete',
    'mirrors-set',
    'ignition-on',
    'engine-started',
    'engine-off',
    'cut-out',
    'cut-in',
  ],
  ...['brakes-released', 'parking-brake-set', 'settled', 'brake-applied', 'buzzer', 'valve-popped', 'fast-idle-set'],
  ...[
    'fast-idle-off',
    'chocks-stowed',
    'belts-on',
    'in-drive',
    'rig-held',
    'hand-valve-held',
    'straight-stop',
    'check-complete',
  ],
]);

/**
 * The state after words that deny a cue. Where it was called before, in the step under way or one behind, it is no longer known, is owed
 * again where the step still waits, and that step is marginal at best. Where it was not, “governor hasn't cut out”, it is told of; of what is seen or
 * felt once, “didn't stop straight”, it leaves no pass either.
 */
export function withDenials(state: CheckState, event: CalloutEvent, say: Say): CheckState {
  let next = state;
  for (const cue of cuesIn(event)) {
    const denied = deniedBy(cue);
    if (denied === undefined) continue;
    const words = `“${event.heard}” was called`;
    const after = `${words} after “${cueWords(denied)}”`;
    const step = next.start.plan.steps[next.index];
    const moved = changedState(next, { cab: movedBy(takenBack(next.cab, [denied]), [cue], event) });
    if (isIn(next.progress, denied)) next = withStray(withoutCue(moved, denied), after);
    else {
      const record = step !== undefined && cuesOf(step).includes(denied) ? undefined : behind(next, denied);
      const told = step?.kind === 'observe' && step.outcomes?.includes(denied) === true ? withStray : withTold;
      next = record === undefined ? told(moved, words) : judgedWith(moved, record, after, say);
    }
  }
  return next;
}

/** A check that is over: what is denied of it counts against the step that it was called in, or else the last one. */
export function deniedAtLast(state: CheckState, event: CalloutEvent, say: Say): CheckState {
  return cuesIn(event).reduce((next, cue) => {
    const denied = deniedBy(cue);
    const record = denied === undefined ? undefined : (lastWith(next, denied) ?? next.records.at(-1));
    return record === undefined ? next : judgedWith(next, record, `“${event.heard}” was called after the end`, say);
  }, state);
}

/** Where a moment was called, however long ago; a state of the cab may have been changed since, but not right after it was called. */
function behind(state: CheckState, cue: string): StepRecord | undefined {
  const record = lastWith(state, cue);
  return isAboutCab(cue) && record !== state.records.findLast(({ outcome }) => outcome !== 'passed-over')
    ? undefined
    : record;
}

function isIn({ cues, outcome }: Progress, cue: string): boolean {
  return cues.includes(cue) || outcome?.cue === cue;
}

function lastWith({ records }: CheckState, cue: string): StepRecord | undefined {
  return records.findLast(({ outcome, progress }) => outcome === 'judged' && isIn(progress, cue));
}

function withoutCue(state: CheckState, cue: string): CheckState {
  const { progress } = state;
  const kept = changedProgress(progress, { cues: progress.cues.filter((each) => each !== cue) });
  return changedState(state, { progress: progress.outcome?.cue === cue ? without(kept, 'outcome', 'cab') : kept });
}

/** The state with a step behind us judged again, marginal at best for these words. */
export function judgedWith(state: CheckState, record: StepRecord, stray: string, say: Say): CheckState {
  const step = state.start.plan.steps[record.index];
  if (step === undefined) return state;
  const { strays = [] } = record.progress;
  const progress = changedProgress(record.progress, { strays: [...strays, stray] });
  const { flags = [] } = record.result;
  const result =
    record.outcome === 'judged' && step.kind !== 'items'
      ? judged(state, record.index, progress)
      : changed(record.result, { flags: [...flags, stray] });
  if (step.test !== 'none') say({ type: 'verdict', step, result });
  return changedState(state, {
    records: state.records.map((each) => (each === record ? changed(record, { progress, result }) : each)),
  });
}

/** True for words that take back what was called right before them: “no, the chocks aren't in yet”. */
export function takesBack({ meaning, heard, note }: CalloutRecord): boolean {
  if (note === true) return false;
  if (meaning === undefined) return tellsOfTrouble(heard);
  const { command, cues, reading } = meaning;
  return (command === 'no' || command === 'correction') && cues.length === 0 && reading === undefined;
}
