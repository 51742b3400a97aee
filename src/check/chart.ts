import type { Phase } from './state.ts';

/** What an event amounts to; the chart knows nothing finer. See `signal.ts`. */
export type Signal =
  | 'words'
  | 'unmeant'
  | 'yes'
  | 'no'
  | 'say-again'
  | 'how-long'
  | 'correction'
  | 'go-back'
  | 'skip'
  | 'skip-because'
  | 'pause'
  | 'resume'
  | 'note'
  | 'note-words'
  | 'stop-check'
  | 'listen-open'
  | 'listen-push'
  | 'time'
  | 'lost'
  | 'back'
  | 'end'
  /** The question under way got something else than an answer. */
  | 'unanswered'
  /** What the gathered data call for, once the actions of an event are done. */
  | Resting;
type Resting = 'listen' | 'hold' | 'build' | 'ask' | 'wonder' | 'finish';

export type ActionName =
  | 'hear'
  | 'decline'
  | 'repeatSaid'
  | 'sayAgain'
  | 'tellListening'
  | 'own'
  | 'disown'
  | 'unown'
  | 'tellTime'
  | 'correct'
  | 'goBack'
  | 'askSkipReason'
  | 'skip'
  | 'abandonSkip'
  | 'pause'
  | 'resume'
  | 'askNote'
  | 'takeNote'
  | 'askStop'
  | 'stop'
  | 'goOn'
  | 'confirm'
  | 'deny'
  | 'amend'
  | 'hearWhileAsking'
  | 'heed'
  | 'tellPaused'
  | 'takeUnconfirmed'
  | 'passTime'
  | 'lose'
  | 'welcome'
  | 'endCheck';

/** Where a signal leads, and what it asks to be done on the way. */
export interface Move {
  readonly phase: Phase;
  readonly actions: readonly ActionName[];
}

/** One square of the chart: the action that is done, and the phase that is gone to; what is absent stays as it is. */
interface Square {
  readonly does?: ActionName;
  readonly to?: Phase;
}
/** What a phase makes of every signal: the compiler refuses a phase that is silent about one. */
type Row = Readonly<Record<Signal, Square>>;

export const FIRST_PHASE: Phase = 'listening';

/** Signals that mean nothing in a phase. */
function ignores<S extends Signal>(...signals: readonly S[]): Readonly<Record<S, Square>> {
  return Object.fromEntries(signals.map((signal) => [signal, {}])) as Record<S, Square>;
}

/** Time, trouble, the way of listening and the end come in every phase but the last. A deadline never ends a phase; see `hold.ts`. */
const ALWAYS = {
  time: { does: 'passTime' },
  lost: { does: 'lose' },
  back: { does: 'welcome' },
  end: { does: 'endCheck', to: 'done' },
  'listen-open': { does: 'tellListening' },
  'listen-push': { does: 'tellListening' },
} as const;

/** What a step goes through. The data it has gathered decide between these; the other phases lie over them. */
const RUNNING: Row = {
  ...ALWAYS,
  listen: { to: 'listening' },
  hold: { to: 'holding' },
  build: { to: 'building' },
  ask: { to: 'asking' },
  wonder: { to: 'wondering' },
  finish: { to: 'done' },
  words: { does: 'hear' },
  no: { does: 'correct' },
  correction: { does: 'correct' },
  'say-again': { does: 'sayAgain' },
  'how-long': { does: 'tellTime' },
  'go-back': { does: 'goBack' },
  skip: { does: 'askSkipReason', to: 'skipping' },
  'skip-because': { does: 'skip' },
  pause: { does: 'pause', to: 'paused' },
  resume: { does: 'decline' },
  note: { does: 'askNote', to: 'noting' },
  'stop-check': { does: 'askStop', to: 'stopping' },
  // Speech that means nothing here is most often not for us: it is shown, and nothing is said.
  ...ignores('yes', 'note-words', 'unanswered', 'unmeant'),
};

/** A phase that lies over a step is not ended by what the step's data call for. */
const OVER = { ...ALWAYS, ...ignores('listen', 'hold', 'build', 'ask', 'wonder', 'finish') };
/** A question or a note that was under way when something broke is not taken up again. */
const ABANDONED = { does: 'lose', to: 'listening' } as const;

/**
 * The chart of a check: the phases, and what each makes of each signal. What the actions do to the gathered data is in
 * `actions.ts`. A phase that returns to the step returns to `listening`; its data then decide, see `machine.ts`.
 */
const CHART: Readonly<Record<Phase, Row>> = {
  listening: RUNNING,
  holding: RUNNING,
  building: RUNNING,
  asking: {
    ...RUNNING,
    yes: { does: 'confirm' },
    no: { does: 'deny' },
    correction: { does: 'amend' },
    words: { does: 'hearWhileAsking' },
    // A note would swallow what may be the answer, and "note" may have been "no".
    note: { does: 'repeatSaid' },
    unmeant: { does: 'repeatSaid' },
    unanswered: { does: 'takeUnconfirmed' },
    'say-again': { does: 'repeatSaid' },
  },
  wondering: {
    ...OVER,
    yes: { does: 'own', to: 'listening' },
    no: { does: 'disown', to: 'listening' },
    unanswered: { does: 'unown', to: 'listening' },
    'say-again': { does: 'repeatSaid' },
    'how-long': { does: 'tellTime' },
    // Whoever spoke may go on speaking: the question is not asked anew for each of their words.
    ...ignores('unmeant', 'words', 'correction', 'go-back', 'skip', 'skip-because', 'pause', 'resume', 'note'),
    ...ignores('note-words', 'stop-check'),
  },
  skipping: {
    ...OVER,
    lost: ABANDONED,
    'skip-because': { does: 'skip', to: 'listening' },
    no: { does: 'goOn', to: 'listening' },
    unanswered: { does: 'abandonSkip', to: 'listening' },
    skip: { does: 'askSkipReason' },
    unmeant: { does: 'repeatSaid' },
    'say-again': { does: 'repeatSaid' },
    ...ignores('words', 'yes', 'how-long', 'correction', 'go-back', 'pause', 'resume', 'note'),
    ...ignores('note-words', 'stop-check'),
  },
  stopping: {
    ...OVER,
    lost: ABANDONED,
    yes: { does: 'stop', to: 'done' },
    'stop-check': { does: 'stop', to: 'done' },
    no: { does: 'goOn', to: 'listening' },
    unanswered: { to: 'listening' },
    'say-again': { does: 'repeatSaid' },
    unmeant: { does: 'repeatSaid' },
    ...ignores('words', 'how-long', 'correction', 'go-back', 'skip', 'skip-because', 'pause', 'resume', 'note'),
    ...ignores('note-words'),
  },
  paused: {
    ...OVER,
    resume: { does: 'resume', to: 'listening' },
    'stop-check': { does: 'askStop', to: 'stopping' },
    'say-again': { does: 'repeatSaid' },
    words: { does: 'heed' },
    // More words, or what ends the pause otherwise: what was to be asked at its end counts as it was heard.
    unanswered: { does: 'unown' },
    'how-long': { does: 'tellPaused' },
    correction: { does: 'tellPaused' },
    'go-back': { does: 'tellPaused' },
    skip: { does: 'tellPaused' },
    'skip-because': { does: 'tellPaused' },
    note: { does: 'tellPaused' },
    ...ignores('unmeant', 'yes', 'no', 'pause', 'note-words'),
  },
  noting: {
    ...OVER,
    lost: ABANDONED,
    'note-words': { does: 'takeNote', to: 'listening' },
    words: { does: 'hear', to: 'listening' },
    unanswered: { to: 'listening' },
    no: { does: 'goOn', to: 'listening' },
    ...ignores('unmeant', 'yes', 'say-again', 'how-long', 'correction', 'go-back', 'skip'),
    ...ignores('skip-because', 'pause', 'resume', 'note', 'stop-check'),
  },
  done: {
    ...OVER,
    ...ignores('time', 'lost', 'back', 'end', 'listen-open', 'listen-push'),
    ...ignores('words', 'unmeant', 'yes', 'no', 'say-again', 'how-long', 'correction', 'go-back', 'skip'),
    ...ignores('skip-because', 'pause', 'resume', 'note', 'note-words', 'stop-check', 'unanswered'),
  },
};

/** The chart's answer to a signal in a phase. */
export function move(phase: Phase, signal: Signal): Move {
  const { does, to = phase } = CHART[phase][signal];
  return { phase: to, actions: does === undefined ? [] : [does] };
}
