import { tellsOfTrouble } from '../items/trouble.ts';
import { itemsNamed } from '../items/unclear.ts';
import { changed } from '../units/changed.ts';
import { ACTIONS } from './actions.ts';
import type { Answer } from './answer.ts';
import { buildWindow } from './build-window.ts';
import { deniedAtLast, deniedBy, judgedWith } from './denied.ts';
import { growingInPlace, settled, withCallout } from './callouts.ts';
import { FIRST_PHASE, move, type Signal } from './chart.ts';
import { cuesIn, isKeptOnly, type CalloutEvent, type CheckEvent, type StartEvent } from './event.ts';
import { beginStep, verdictOf, withPlacesJudged, type Say, type Turn } from './flow.ts';
import { hearItems, isBadOf } from './hear-items.ts';
import { afterSilence } from './heed.ts';
import { runningHold } from './hold.ts';
import { currentStep } from './needs.ts';
import { placeOf, placesOf } from './places.ts';
import { calledAdverse, hasAdverse } from './outcome.ts';
import { markLast } from './readings.ts';
import { leavesUnanswered, signalOf } from './signal.ts';
import { withStray } from './strays.ts';
import {
  changedProgress,
  changedState,
  NO_PROGRESS,
  withTold,
  type Advance,
  type CalloutRecord,
  type CheckState,
} from './state.ts';

/** Named although they are not known yet: a state that has all its keys from the first is copied several times as fast. */
const NOTHING_YET = {
  pending: undefined,
  restating: undefined,
  whose: undefined,
  items: undefined,
  undone: undefined,
  early: undefined,
  needles: undefined,
  sound: undefined,
  notingSince: undefined,
  pausedAt: undefined,
  away: undefined,
  verdict: undefined,
} as const satisfies Partial<CheckState>;

/** The first state of a check: its first fitted step has begun, and its brief is the first answer. */
export function startCheck(start: StartEvent): Advance {
  const answers: Answer[] = [];
  const blank: CheckState = {
    phase: FIRST_PHASE,
    start,
    now: start.at,
    index: 0,
    progress: NO_PROGRESS,
    records: [],
    callouts: [],
    said: [],
    cautioned: [],
    clock: {},
    cab: {},
    stopped: false,
    ...NOTHING_YET,
  };
  if (start.openDefects !== undefined && start.openDefects.length > 0)
    answers.push({ type: 'open-defects', defects: start.openDefects, now: start.wall });
  const begun = atRest(beginStep(blank, 0, (answer) => answers.push(answer)));
  return { state: remember(begun, answers), answers };
}

/** The state after one more event. Never throws; an event that makes no sense in this state changes nothing but `now`. */
export function advance(state: CheckState, event: CheckEvent): Advance {
  if (event.type === 'start' || isKeptOnly(event)) return { state, answers: [] };
  const answers: Answer[] = [];
  const turn: Turn = { event, say: (answer) => answers.push(answer) };
  if (state.phase === 'done') return { state: afterTheEnd(state, event, turn.say), answers };
  let next = logged(event.type === 'callout' ? afterSilence(state, event) : state, event);
  if (leavesUnanswered(next, signalOf(next.phase, event), event)) next = apply(next, 'unanswered', turn);
  next = apply(next, signalOf(next.phase, event), turn);
  return { state: remember(withCommandTaken(next, event, answers), answers), answers };
}

/** A check that is over hears one thing yet: that something went wrong, or is bad, after all. */
function afterTheEnd(state: CheckState, event: Turn['event'], say: Say): CheckState {
  if (event.type !== 'callout') return state;
  const next = heardAtLast(state, event, say);
  return next === state ? state : changedState(next, { verdict: verdictOf(next.records) });
}

function heardAtLast(state: CheckState, event: CalloutEvent, say: Say): CheckState {
  const { meaning, heard, source } = event;
  if (hasAdverse(state, cuesIn(event))) return calledAdverse(logged(state, event), undefined, event, say) ?? state;
  // A callout is logged only where it is kept: in a replay the callouts grow in place.
  if (isBadOf(state, event)) return hearItems(logged(state, event), event, say, 'bad alone');
  if (cuesIn(event).some((cue) => deniedBy(cue) !== undefined)) return deniedAtLast(logged(state, event), event, say);
  if (meaning === undefined && namesItem(state, heard)) return logged(state, event);
  return source === 'transcript' ? withLateWords(logged(state, event), event, say) : state;
}

/** So many callouts after the end are told of one by one; a file that goes on may have another check in it. */
const MOST_LATE = 8;

/** Written words after the end were said of the rig, whatever they mean: they are told of with the last step, and no pass stays one on trouble. */
function withLateWords(state: CheckState, { heard, meaning, voice }: CalloutEvent, say: Say): CheckState {
  const record = state.records.at(-1);
  const place = placeOf(state.start.plan.steps[record?.index ?? -1]);
  if (record === undefined) return state;
  if (place !== undefined && meaning === undefined)
    return withPlacesJudged(state, new Set(place.items.map(({ id }) => id)));
  const words = `“${heard}” was said after the end`;
  const isTakenBack = meaning?.command === 'no' || meaning?.command === 'correction';
  if (isTakenBack || voice !== undefined || (meaning === undefined && tellsOfTrouble(heard)))
    return judgedWith(state, record, words, say);
  const { flags = [] } = record.result;
  if (flags.length >= MOST_LATE || flags.includes(words)) return state;
  const result = changed(record.result, { flags: [...flags, words] });
  const told = [...(record.progress.told ?? []), words];
  const next = changed(record, { result, progress: changedProgress(record.progress, { told }) });
  return changedState(state, { records: state.records.map((each) => (each === record ? next : each)) });
}

function namesItem({ start }: CheckState, heard: string): boolean {
  return placesOf(start.plan).some((place) => itemsNamed(place, heard).length > 0);
}

/** A command that was followed counts as taken; readings and cues are marked where they are taken. */
function withCommandTaken(state: CheckState, event: CheckEvent, answers: readonly Answer[]): CheckState {
  if (event.type !== 'callout' || event.meaning?.command === undefined || event.meaning.reading !== undefined)
    return state;
  const useless = answers.length === 0 || answers.some(({ type }) => type === 'not-here');
  return useless ? state : markLast(state);
}

/**
 * The state that a stored log leads to. The first event is the `start`.
 * Throws when it is not: a log without its start is not a log of a check.
 */
export function replay(events: readonly CheckEvent[]): CheckState {
  const [first, ...rest] = events;
  if (first?.type !== 'start') throw new Error('A log begins with the start of its check.');
  const begun = growingInPlace(startCheck(first).state);
  return settled(rest.reduce((state, event) => advance(state, event).state, begun));
}

/** Follows the chart on a signal: its phase, its actions, and then what the gathered data call for. */
function apply(state: CheckState, signal: Signal, turn: Turn): CheckState {
  const { phase, actions } = move(state.phase, signal);
  let next = state;
  for (const name of actions) next = ACTIONS[name](next, turn);
  const moved = next.phase === phase ? next : changedState(next, { phase });
  return atRest(moved);
}

/** While a step runs, and nothing lies over it, its data decide between listening, holding, building and asking. */
function atRest(state: CheckState): CheckState {
  const { phase } = move(state.phase, restingSignal(state));
  return phase === state.phase ? state : changedState(state, { phase });
}

function restingSignal(state: CheckState): Signal {
  if (state.verdict !== undefined) return 'finish';
  if (state.whose !== undefined) return 'wonder';
  if (state.pending !== undefined) return 'ask';
  const step = currentStep(state);
  if (runningHold(step, state.progress, state.start.rig) !== undefined) return 'hold';
  const { lower, upper } = buildWindow(step, state.progress.readings);
  return lower !== undefined && upper === undefined ? 'build' : 'listen';
}

/** The time of the event, and the callout as it was heard, before anything is made of it. */
function logged(state: CheckState, event: CheckEvent): CheckState {
  const now = Math.max(state.now, event.type === 'callout' ? event.end : event.at);
  if (event.type !== 'callout') return changedState(state, { now });
  const { at, end, confidence, source, meaning, voice } = event;
  const heard = voice === undefined ? event.heard : `${voice}: ${event.heard}`;
  const step = (currentStep(state) ?? state.start.plan.steps.at(-1))?.id ?? '';
  const record: CalloutRecord = { at, end, heard, confidence, source, step, taken: false };
  const callouts = withCallout(state.callouts, meaning === undefined ? record : changed(record, { meaning }));
  const next = changedState(state, { now, callouts });
  // Written words were said, whatever they mean; what an ear makes of noise was perhaps not.
  const isSaid = meaning === undefined && source === 'transcript' && state.phase !== 'noting' && state.phase !== 'done';
  const words = `“${heard}” was said and not understood`;
  const told = !isSaid
    ? next
    : voice !== undefined || tellsOfTrouble(heard)
      ? withStray(next, words)
      : withTold(next, words);
  return meaning === undefined && state.phase !== 'noting' ? withNamedJudged(told, event.heard) : told;
}

/** What was said of an item and not understood counts against a place that is behind, too. */
function withNamedJudged(state: CheckState, heard: string): CheckState {
  const named = placesOf(state.start.plan).flatMap((place) => itemsNamed(place, heard).map(({ id }) => id));
  return named.length === 0 ? state : withPlacesJudged(state, new Set(named));
}

const NOT_KEPT: ReadonlySet<Answer['type']> = new Set(['time-left', 'noted', 'not-here', 'again', 'listens']);

/** Keeps what "say again" repeats: the last answers that were more than a count or an acknowledgement. */
function remember(state: CheckState, answers: readonly Answer[]): CheckState {
  const kept = answers.filter(({ type }) => !NOT_KEPT.has(type));
  return kept.length === 0 ? state : changedState(state, { said: kept });
}
