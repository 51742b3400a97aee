import type { Ms } from '../units/time.ts';
import type { Signal } from './chart.ts';
import type { CalloutEvent, CheckEvent, KeptOnly } from './event.ts';
import type { Turn } from './flow.ts';
import type { CheckState, Phase } from './state.ts';

/** What an event amounts to in a phase. */
export function signalOf(phase: Phase, event: Exclude<CheckEvent, { type: 'start' } | KeptOnly>): Signal {
  switch (event.type) {
    case 'callout':
      return calloutSignal(phase, event);
    case 'time':
    case 'engine-restarted':
      return 'time';
    case 'interrupted':
      return 'lost';
    case 'resumed':
      return 'back';
    case 'end':
      return 'end';
  }
}

function calloutSignal(phase: Phase, { meaning, source, heard, voice }: CalloutEvent): Signal {
  // Nobody but the operator takes a note, gives a reason or answers.
  if (voice !== undefined) return 'unmeant';
  // What is nothing but needles is no note: they would be overheard. What is pressed is what it says.
  if (phase === 'noting' && (source === 'voice' || meaning === undefined))
    return isNeedles(meaning) ? 'words' : 'note-words';
  if (phase === 'skipping' && meaning === undefined && source !== 'voice' && heard.trim() !== '') return 'skip-because';
  if (meaning === undefined) return 'unmeant';
  if (isWalk(meaning)) return 'words';
  const { command, cues, reading, number, reason } = meaning;
  if (command === 'skip') return reason === undefined ? 'skip' : 'skip-because';
  if (command === 'no' && (reading ?? number) !== undefined) return 'correction';
  if (command !== undefined) return command;
  if (cues.length > 0 || reading !== undefined) return 'words';
  return reason !== undefined && phase === 'skipping' ? 'skip-because' : 'unmeant';
}

/** Words about the items of a walk, or where it goes. */
export function isWalk({ items = [], move }: NonNullable<CalloutEvent['meaning']>): boolean {
  return items.length > 0 || move !== undefined;
}

function isNeedles(meaning: CalloutEvent['meaning']): boolean {
  return meaning?.reading !== undefined && meaning.command === undefined;
}

/** What has nothing to do with any question. */
const NO_ANSWERS = ['unmeant', 'listen-open', 'listen-push'] as const satisfies readonly Signal[];

/** Signals that leave the question of a phase as it is: an answer to it, or nothing to do with it. */
const ANSWERS: Readonly<Partial<Record<Phase, ReadonlySet<Signal>>>> = {
  asking: new Set<Signal>(['yes', 'no', 'correction', 'say-again', 'how-long', ...NO_ANSWERS, 'time', 'lost', 'back']),
  wondering: new Set<Signal>(['yes', 'no', 'say-again', 'how-long', ...NO_ANSWERS, 'time']),
  skipping: new Set<Signal>([
    'skip-because',
    'no',
    'skip',
    ...NO_ANSWERS,
    'say-again',
    'how-long',
    'time',
    'lost',
    'back',
    'end',
  ]),
  stopping: new Set<Signal>([
    'yes',
    'no',
    'stop-check',
    ...NO_ANSWERS,
    'say-again',
    'how-long',
    'time',
    'lost',
    'back',
    'end',
  ]),
};

/** In a pause nothing is asked; what is to be asked at its end is settled by more words, and by what may end the pause without a word. */
const SETTLES_PAUSED: ReadonlySet<Signal> = new Set(['words', 'stop-check', 'lost', 'back', 'end']);

/** Needles called later than this after those that were asked about are no answer to the question. Ours, no source. */
export const ANSWER_MS: Ms = 15_000;

/** A note that was not begun this soon after it was asked for is not one: words belong to the step again. Ours, no source. */
const NOTE_MS: Ms = 15_000;

/**
 * True when the question under way has to be settled without an answer before the signal is taken: the operator went
 * on with something else. A reading asked about stays asked in a live check; in a recording nobody can answer.
 */
export function leavesUnanswered(state: CheckState, signal: Signal, event: Turn['event']): boolean {
  const { at } = event;
  if (state.phase === 'paused') return state.whose !== undefined && SETTLES_PAUSED.has(signal);
  if (state.phase === 'noting') {
    const isPressed = event.type === 'callout' && event.source !== 'voice' && event.meaning !== undefined;
    if (signal !== 'note-words') return isPressed && signal !== 'no';
    // A note that is typed takes its time.
    return event.type === 'callout' && event.source === 'voice' && at > (state.notingSince ?? at) + NOTE_MS;
  }
  if (state.phase === 'asking' && state.start.asking === 'ask') {
    // Where somebody can answer nothing is taken without an answer but what fails the step: that is no better for the rig.
    const isReading = event.type === 'callout' && event.meaning?.reading !== undefined && signal === 'words';
    const { pending } = state;
    return isReading && pending?.because === 'would-fail' && at > pending.reading.end + ANSWER_MS;
  }
  if (state.phase === 'skipping' && signal === 'end' && state.start.asking === 'assume') return true;
  return ANSWERS[state.phase]?.has(signal) === false;
}
