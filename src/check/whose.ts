import type { CabPart } from '../judging/condition.ts';
import { isOfCab } from '../judging/condition.ts';
import type { Answer } from './answer.ts';
import { cuesAgainst, isAdverse, says } from './cab.ts';
import { placeOfLast, withMark } from './callouts.ts';
import { conditionsOf, contradictionIn } from './conditions.ts';
import type { CalloutEvent } from './event.ts';
import type { Say } from './flow.ts';
import { nextStep, renewalIn } from './heed.ts';
import { withoutVerdict } from './measure.ts';
import { cuesOf, currentStep } from './needs.ts';
import { hasAdverse, isAhead, lastWith } from './outcome.ts';
import type { Step } from './plan.ts';
import { changedState, withTold, type CheckState, type Whose } from './state.ts';

/** What most tests rest on, so that nobody may turn it over unasked. */
const RESTED_ON: readonly CabPart[] = ['engine', 'parking brake'];

/**
 * The cue of a callout that the operator had no cause for: it speaks against what is measured or known, or says that something went wrong,
 * while neither this step nor the next waits for any of its words. A radio, or somebody beside the rig, may have said it. Undefined for all
 * else, for what was pressed, and where nobody can be asked.
 */
export function strangeCue(state: CheckState, { meaning, source }: CalloutEvent): string | undefined {
  const step = currentStep(state);
  const isAsked = state.start.settings?.asksWhose === true && state.start.asking === 'ask' && source === 'voice';
  if (!isAsked || step === undefined || meaning === undefined) return undefined;
  const { cues, command, reading, number } = meaning;
  // Needles and repairs are the operator's.
  if (command !== undefined || (reading ?? number) !== undefined || state.restating !== undefined) return undefined;
  const next = nextStep(state);
  const expected = [...cuesOf(step), ...(next === undefined ? [] : cuesOf(next))];
  if (cues.some((cue) => expected.includes(cue))) return undefined;
  return cues.find((cue) => (isAdverse(cue) ? isNews(state, cue) : isAgainst(state, step, cue)));
}

function isNews(state: CheckState, cue: string): boolean {
  return hasAdverse(state, [cue]) || isAhead(state, cue);
}

function isAgainst(state: CheckState, step: Step, cue: string): boolean {
  const { start, cab } = state;
  if ((contradictionIn(step, start, [cue]) ?? renewalIn(step, state, [cue])) !== undefined) return true;
  const isWanted = conditionsOf(step, start).some((each) => isOfCab(each) && says(cue, each.part, each.is));
  return (
    !isWanted && RESTED_ON.some((part) => cuesAgainst(part, cab[part]?.is ?? '').includes(cue) && isKnown(state, part))
  );
}

function isKnown({ cab }: CheckState, part: CabPart): boolean {
  return cab[part] !== undefined && cab[part].stale !== true;
}

/**
 * Asks whose words these were. Until that is known they count against what is measured, as they do if nothing is answered; but nothing fails
 * by them. `take` is what the check makes of the callout if it was the operator's.
 */
export function askWhose(
  state: CheckState,
  cue: string,
  event: CalloutEvent,
  say: Say,
  take: (state: CheckState, event: CalloutEvent, say: Say) => CheckState,
): CheckState {
  const answers: Answer[] = [];
  const callout = placeOfLast(state);
  const after = take(state, event, (answer) => answers.push(answer));
  say({ type: 'whose', cue });
  const open = isAdverse(cue) ? (unjudged(state, cue, event) ?? after) : after;
  return changedState(open, {
    callouts: withMark(after.callouts, callout, { taken: false }),
    whose: { cue, callout, before: state, after, answers },
  });
}

/** The question that a pause has put off. `back` is what the pause has made of the check, whichever way it went. */
export function askAgain(state: CheckState, back: (state: CheckState) => CheckState, say: Say): CheckState {
  const { whose } = state;
  if (whose === undefined) return state;
  say({ type: 'whose', cue: whose.cue });
  const ways = {
    before: back(changedState(whose.before, { now: state.now })),
    after: back(changedState(whose.after, { now: state.now })),
  };
  return changedState(back(state), { whose: { ...whose, ...ways } });
}

/** Undefined where no step behind us is concerned. */
function unjudged(state: CheckState, cue: string, { heard }: CalloutEvent): CheckState | undefined {
  const record = lastWith(state, cue);
  if (record === undefined) return undefined;
  const reason = `“${heard}” was heard after it, and nobody said whose words that was; go back and repeat it.`;
  const result = withoutVerdict(record.result, reason);
  return changedState(state, {
    records: state.records.map((each) => (each === record ? { ...record, result } : each)),
  });
}

/** "Yes": the words count as any callout. */
export function owned(state: CheckState, say: Say): CheckState {
  const { whose } = state;
  if (whose === undefined) return state;
  for (const answer of whose.answers) say(answer);
  return since(whose.after, state, whose, true);
}

/** "No": the check stands as if they had not been heard, but that they were is told. */
export function disowned(state: CheckState, say: Say): CheckState {
  const { whose } = state;
  if (whose === undefined) return state;
  say({ type: 'going-on' });
  const heard = state.callouts[whose.callout]?.heard ?? whose.cue;
  return withTold(since(whose.before, state, whose, false), `“${heard}” was heard, and was not the operator’s`);
}

/** No answer: what was called against a measurement stands; what would have failed a step leaves it without a verdict. */
export function unowned(state: CheckState, say: Say): CheckState {
  const { whose } = state;
  if (whose === undefined) return state;
  const record = isAdverse(whose.cue) ? lastWith(whose.before, whose.cue) : undefined;
  const step = record === undefined ? undefined : state.start.plan.steps[record.index];
  if (step !== undefined) say({ type: 'left', step });
  else for (const answer of whose.answers) say(answer);
  return since(state, state, whose, true);
}

/** One of the two ways that the check could go, with what happened while nobody knew which. */
function since(way: CheckState, { now, callouts, said }: CheckState, { callout }: Whose, taken: boolean): CheckState {
  return changedState(way, { now, said, callouts: withMark(callouts, callout, { taken }), whose: undefined });
}
