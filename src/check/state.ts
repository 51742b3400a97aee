import type { Meaning, SpokenReading } from '../grammar/meaning.ts';
import type { ItemsSaid } from '../items/said.ts';
import type { Condition } from '../judging/condition.ts';
import type { TimedReading } from '../judging/measurement.ts';
import type { CheckVerdict, StepResult } from '../judging/result.ts';
import type { Ms } from '../units/time.ts';
import type { Answer, AskReason, RepeatReason } from './answer.ts';
import type { Cab } from './cab.ts';
import type { CalloutSource, StartEvent } from './event.ts';

/** Where the check stands; the states of the chart in `chart.ts`. */
export type Phase =
  | 'listening'
  | 'holding'
  | 'building'
  | 'asking'
  /** Whose words were heard is asked. */
  | 'wondering'
  | 'skipping'
  | 'stopping'
  | 'paused'
  | 'noting'
  | 'done';

/** A reading and the callouts it was heard in, as indices into `CheckState.callouts`. */
export interface CalledReading extends TimedReading {
  readonly callouts: readonly number[];
  /** Taken without an answer to the question it raised (recordings, transcripts). */
  readonly unconfirmed?: true;
  /** It was asked about because the needles can hardly have done that, and was taken all the same. */
  readonly doubted?: true;
}

/** What the step under way has gathered. */
export interface Progress {
  /** When the step began. */
  readonly from?: Ms | undefined;
  /** Cues of the step heard so far, without its outcomes. */
  readonly cues: readonly string[];
  /** `event`: the moment; `observe`: what was seen or felt. */
  readonly outcome?: { readonly cue: string; readonly at: Ms } | undefined;
  /**
   * Readings taken: one, two for a hold (before and after), any number for a build (every callout of the needles,
   * from which the window is derived).
   */
  readonly readings: readonly CalledReading[];
  /** Readings called while the hold ran, of one circuit or both. They never close it, and count for the drop. */
  readonly within?: readonly CalledReading[] | undefined;
  /** What had been called as gone wrong and was taken back in so many words. */
  readonly corrected?: readonly string[] | undefined;
  /** Needles that were called and taken back would have failed it, for these reasons. */
  readonly failedBefore?: readonly string[] | undefined;
  /** First needles of the hold that were corrected: how it would have ended with them is told. */
  readonly openings?: readonly CalledReading[] | undefined;
  /** What was called, taken by no step and not to be passed over, in words; see `strays.ts`. */
  readonly strays?: readonly string[] | undefined;
  /** Others that were called too soon after its needles to be the next ones, in words. */
  readonly contested?: string | undefined;
  /** What else was called in it that changes no verdict and is not passed over, in words. */
  readonly told?: readonly string[] | undefined;
  /** One of those is over the limit of the whole hold already, and was confirmed: the hold has failed. */
  readonly over?: true | undefined;
  /** The cab as it was when the measurement was made; absent until it is. */
  readonly cab?: Cab | undefined;
  /** What last spoiled the measurement of this step. */
  readonly spoiled?: Spoiled | undefined;
  /** When the last cue was heard that the step waited for before its readings. */
  readonly cueAt?: Ms | undefined;
  /** Onset of the last cue that what is seen or felt in the step rests on; see `too-soon.ts`. */
  readonly restsSince?: Ms | undefined;
  /** One circuit of a reading whose other circuit has not been called yet. `asked`: the operator was told so. */
  readonly half?: { readonly reading: CalledReading; readonly asked: boolean } | undefined;
  /** The last needles called in this step, taken or not. */
  readonly latest?: SpokenReading | undefined;
  /** How many of the hold's announcements have been made; see `hold.ts`. */
  readonly announced: number;
  /** Why the hold or window of this step is being repeated. */
  readonly repeatBecause?: RepeatReason | undefined;
}

/** Why a measurement does not count: a condition, and the words that broke it where a callout did. */
export interface Spoiled {
  readonly condition: Condition;
  readonly by?: { readonly heard: string; readonly at: Ms };
}

/** A reading that waits for the answer to its question. */
export interface Pending {
  readonly reading: CalledReading;
  readonly because: AskReason;
  /** Set when it replaces the last reading taken in the step with this index. */
  readonly replaces?: number;
  /** What the step comes to with it, where that is a fail. */
  readonly fails?: StepResult;
  /** Called while the hold ran: it does not close it. */
  readonly within?: true;
  /** A callout after these words that contradicts a condition of the measurement. They are none the better for it, and others come too late. */
  readonly against?: Contradiction;
  /** The operator said that the needles in whose place they come were wrong. */
  readonly recants?: true;
  /** What belongs to the next step was called since: needles after it answer nothing here. */
  readonly wentOn?: true;
}

/** What was called against a measurement, and the cab as it was before. */
interface Contradiction {
  readonly cue: string;
  readonly spoiled: Spoiled;
  readonly cab: Cab;
}

/** The next reading is the same measurement called again. */
interface Restating {
  /** When it was rejected; the next reading counts as the same only for a while. */
  readonly since: Ms;
  /** "No" to a question: the onset of the rejected words, which the next reading keeps. Absent: it replaces the last reading taken. */
  readonly onset?: Ms;
  /** "Correction" alone, after something that was seen or felt: the next such cue takes its place. */
  readonly outcome?: true;
}

/** Words that were heard and may be somebody else's, and the two ways that the check goes on. */
export interface Whose {
  readonly cue: string;
  /** Index into `CheckState.callouts`. */
  readonly callout: number;
  /** As it stands if they were not the operator's. */
  readonly before: CheckState;
  /** As it stands if they were, and what is then said. */
  readonly after: CheckState;
  readonly answers: readonly Answer[];
}

/** A step that is behind us. */
export interface StepRecord {
  readonly index: number;
  readonly id: string;
  /** `passed-over`: the rig does not have it; `unfinished`: the check ended before it was done. */
  readonly outcome: 'judged' | 'skipped' | 'passed-over' | 'unfinished';
  readonly result: StepResult;
  /** What it was judged on, so that a correction can judge it again. */
  readonly progress: Progress;
}

/** One callout as it was treated. */
export interface CalloutRecord {
  readonly at: Ms;
  readonly end: Ms;
  readonly heard: string;
  readonly confidence: number;
  readonly source: CalloutSource;
  readonly meaning?: Meaning;
  /** Id of the step it was called in. */
  readonly step: string;
  /** True when a cue, a reading or a command of it had an effect. */
  readonly taken: boolean;
  readonly unconfirmed?: true;
  readonly note?: true;
}

/** The whole state of a check: plain data, never changed in place. The same events always give the same state. */
export interface CheckState {
  readonly phase: Phase;
  readonly start: StartEvent;
  /** The latest time of any event. */
  readonly now: Ms;
  /** Index of the current step in the plan; the number of steps when all are behind us. */
  readonly index: number;
  readonly progress: Progress;
  /** One for each step behind us, in plan order. */
  readonly records: readonly StepRecord[];
  readonly pending?: Pending | undefined;
  /** A reading was rejected and is to be called again; see `Restating`. */
  readonly restating?: Restating | undefined;
  /** Words are asked about that the operator had no cause for; see `whose.ts`. */
  readonly whose?: Whose | undefined;
  readonly callouts: readonly CalloutRecord[];
  /** What "say again" repeats. */
  readonly said: readonly Answer[];
  /** Steps whose caution has been spoken. */
  readonly cautioned: readonly string[];
  readonly clock: { readonly start?: Ms; readonly end?: Ms };
  /** What is known of the rig from all that was called so far, in whatever step. */
  readonly cab: Cab;
  /** What was said of the items of the walk, in whatever place. */
  readonly items?: ItemsSaid | undefined;
  /** What was called as gone wrong before the step that it belongs to had begun. */
  readonly early?: readonly NonNullable<Progress['outcome']>[] | undefined;
  /** Steps that had failed when they were gone back to. */
  readonly undone?: readonly StepRecord[] | undefined;
  /** The last needles called: what the next ones have to follow from. */
  readonly needles?: CalledReading | undefined;
  /** The last needles called that nobody has to wonder at: what those that begin a hold have to follow from. */
  readonly sound?: CalledReading | undefined;
  /** When a note was asked for. */
  readonly notingSince?: Ms | undefined;
  /** When the check was paused. */
  readonly pausedAt?: Ms | undefined;
  /** How far the wall clock is ahead of the sample clock since the start, at the last resumption, in ms. */
  readonly away?: Ms | undefined;
  readonly verdict?: CheckVerdict | undefined;
  readonly stopped: boolean;
}

/** A state and what is to be said on reaching it. */
export interface Advance {
  readonly state: CheckState;
  readonly answers: readonly Answer[];
}

export const NO_PROGRESS: Progress = { cues: [], readings: [], announced: 0 };

/**
 * A copy of the state with these changes, as `{ ...state, … }` is one. Written out, since a state is copied several times at every event:
 * a spread takes ten times as long, and gives the state another hidden shape in each place that it stands in.
 */
export function changedState(state: CheckState, change: Partial<CheckState>): CheckState {
  const copy: Required<CheckState> = {
    phase: state.phase,
    start: state.start,
    now: state.now,
    index: state.index,
    progress: state.progress,
    records: state.records,
    pending: state.pending,
    restating: state.restating,
    whose: state.whose,
    callouts: state.callouts,
    said: state.said,
    cautioned: state.cautioned,
    clock: state.clock,
    cab: state.cab,
    items: state.items,
    early: state.early,
    undone: state.undone,
    needles: state.needles,
    sound: state.sound,
    notingSince: state.notingSince,
    pausedAt: state.pausedAt,
    away: state.away,
    verdict: state.verdict,
    stopped: state.stopped,
  };
  return Object.assign(copy, change);
}

/** The same for what a step has gathered. */
export function changedProgress(progress: Progress, change: Partial<Progress>): Progress {
  const copy: Required<Progress> = {
    from: progress.from,
    cues: progress.cues,
    outcome: progress.outcome,
    readings: progress.readings,
    within: progress.within,
    corrected: progress.corrected,
    failedBefore: progress.failedBefore,
    openings: progress.openings,
    strays: progress.strays,
    contested: progress.contested,
    told: progress.told,
    over: progress.over,
    cab: progress.cab,
    spoiled: progress.spoiled,
    cueAt: progress.cueAt,
    restsSince: progress.restsSince,
    half: progress.half,
    latest: progress.latest,
    announced: progress.announced,
    repeatBecause: progress.repeatBecause,
  };
  return Object.assign(copy, change);
}

/** The state whose step tells of something beside its verdict. */
export function withTold(state: CheckState, what: string): CheckState {
  const { told = [] } = state.progress;
  return told.includes(what)
    ? state
    : changedState(state, { progress: changedProgress(state.progress, { told: [...told, what] }) });
}
