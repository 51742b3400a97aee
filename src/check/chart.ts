import { initialTransition, setup, transition } from 'xstate';
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
  | 'time'
  | 'lost'
  | 'back'
  | 'end'
  /** The question under way got something else than an answer. */
  | 'unanswered'
  /** What the gathered data call for, once the actions of an event are done. */
  | Resting;
type Resting = 'listen' | 'hold' | 'build' | 'ask' | 'finish';

export type ActionName =
  | 'hear'
  | 'puzzle'
  | 'decline'
  | 'repeatSaid'
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
  | 'takeUnconfirmed'
  | 'passTime'
  | 'lose'
  | 'welcome'
  | 'endCheck';

const rest = {
  listen: '#check.running.listening',
  hold: '#check.running.holding',
  build: '#check.running.building',
  ask: '#check.running.asking',
  finish: '#check.done',
} as const;

/** Time, trouble and the end come in every state but the last. A deadline never ends a state; see `hold.ts`. */
const always = {
  time: { actions: 'passTime' },
  lost: { actions: 'lose' },
  back: { actions: 'welcome' },
  end: { target: '#check.done', actions: 'endCheck' },
} as const;

/** A question or a note that was under way when something broke is not taken up again. */
const abandoned = { lost: { target: '#check.running', actions: 'lose' } } as const;

/**
 * The statechart of a check. It holds the phases and which action each signal calls for; what the actions do to the
 * gathered data is in `actions.ts`. `running` is what a step goes through; the others lie over it and return to it.
 */
const chart = setup({
  types: { events: {} as { type: Signal } },
  actions: {} as Record<ActionName, () => void>,
}).createMachine({
  id: 'check',
  initial: 'running',
  states: {
    running: {
      initial: 'listening',
      on: {
        ...always,
        ...rest,
        words: { actions: 'hear' },
        unmeant: { actions: 'puzzle' },
        no: { actions: 'correct' },
        correction: { actions: 'correct' },
        'say-again': { actions: 'repeatSaid' },
        'how-long': { actions: 'tellTime' },
        'go-back': { actions: 'goBack' },
        skip: { target: '#check.skipping', actions: 'askSkipReason' },
        'skip-because': { actions: 'skip' },
        pause: { target: '#check.paused', actions: 'pause' },
        resume: { actions: 'decline' },
        note: { target: '#check.noting', actions: 'askNote' },
        'stop-check': { target: '#check.stopping', actions: 'askStop' },
      },
      states: {
        listening: {},
        holding: {},
        building: {},
        asking: {
          on: {
            yes: { actions: 'confirm' },
            no: { actions: 'deny' },
            correction: { actions: 'amend' },
            words: { actions: 'hearWhileAsking' },
            unmeant: { actions: 'repeatSaid' },
            unanswered: { actions: 'takeUnconfirmed' },
          },
        },
      },
    },
    skipping: {
      on: {
        ...always,
        ...abandoned,
        'skip-because': { target: 'running', actions: 'skip' },
        no: { target: 'running', actions: 'goOn' },
        unanswered: { target: 'running', actions: 'abandonSkip' },
        skip: { actions: 'askSkipReason' },
        unmeant: { actions: 'repeatSaid' },
        'say-again': { actions: 'repeatSaid' },
      },
    },
    stopping: {
      on: {
        ...always,
        ...abandoned,
        yes: { target: 'done', actions: 'stop' },
        'stop-check': { target: 'done', actions: 'stop' },
        no: { target: 'running', actions: 'goOn' },
        unanswered: { target: 'running' },
        'say-again': { actions: 'repeatSaid' },
        unmeant: { actions: 'repeatSaid' },
      },
    },
    paused: {
      on: {
        ...always,
        resume: { target: 'running', actions: 'resume' },
        'stop-check': { target: 'stopping', actions: 'askStop' },
        'say-again': { actions: 'repeatSaid' },
      },
    },
    noting: {
      on: {
        ...always,
        ...abandoned,
        'note-words': { target: 'running', actions: 'takeNote' },
      },
    },
    done: { type: 'final' },
  },
});

const VALUE_OF: Readonly<Record<Phase, string | { running: string }>> = {
  listening: { running: 'listening' },
  holding: { running: 'holding' },
  building: { running: 'building' },
  asking: { running: 'asking' },
  skipping: 'skipping',
  stopping: 'stopping',
  paused: 'paused',
  noting: 'noting',
  done: 'done',
};

/** Where a signal leads, and what it asks to be done on the way. */
export interface Move {
  readonly phase: Phase;
  readonly actions: readonly ActionName[];
}

const moves = new Map<Phase, Map<Signal, Move>>();

/**
 * The chart's answer to a signal. Phases and signals are few and the chart carries no data, so that each pair is put
 * to xstate once and kept: a transition costs it some 50 µs, half of what a whole check may take in a replay of many.
 */
export function move(phase: Phase, signal: Signal): Move {
  const known = moves.get(phase)?.get(signal);
  if (known !== undefined) return known;
  const [next, actions] = transition(chart, chart.resolveState({ value: VALUE_OF[phase] }), { type: signal });
  const found: Move = { phase: phaseOf(next.value), actions: actions.map(({ type }) => type as ActionName) };
  moves.set(phase, (moves.get(phase) ?? new Map<Signal, Move>()).set(signal, found));
  return found;
}

export const FIRST_PHASE: Phase = phaseOf(initialTransition(chart)[0].value);

function phaseOf(value: unknown): Phase {
  return (typeof value === 'string' ? value : (value as { running: string }).running) as Phase;
}
