import type { Answer } from '../check/answer.ts';
import type { StartEvent } from '../check/event.ts';
import type { Ms } from '../units/time.ts';

export const LEVELS = ['told', 'prompted', 'silent'] as const;
/** How much the trainee is helped. */
export type LevelId = (typeof LEVELS)[number];

/** What the tool does at a level, as data. */
export interface Level {
  readonly title: string;
  /** One sentence for the trainee. */
  readonly about: string;
  /** Answers that are spoken and captioned; the others are kept from the trainee until the score sheet. */
  readonly speaks: 'everything' | readonly Answer['type'][];
  /** With `assume`, doubtful readings are taken as called, and no question gives a hint. */
  readonly asking: StartEvent['asking'];
  /** After so long without a callout, what the step still needs is said, once in a step. */
  readonly promptAfter?: Ms;
  /** The whole-check clock is in view. */
  readonly clock: boolean;
  /** What the trainee leaves out is noted, and the check goes on with what is called next; else it waits. */
  readonly goesOn: boolean;
}

/** Answers to commands and questions that a trainee must hear at any level. */
const COURTESY = [
  'ask-skip-reason',
  'skipped',
  'went-back',
  'paused',
  'resumed',
  'ask-stop',
  'going-on',
  'ask-note',
  'note-taken',
  'finished',
] as const;

export const LEVEL: Readonly<Record<LevelId, Level>> = {
  told: {
    title: 'Told',
    about: 'Each step is briefed, every callout is answered, and the holds are counted aloud.',
    speaks: 'everything',
    asking: 'ask',
    clock: false,
    goesOn: false,
  },
  prompted: {
    title: 'Prompted',
    about:
      'No briefs. Readings are read back, holds are counted, and after a minute of silence what is missing is said.',
    speaks: [
      ...COURTESY,
      'read-back',
      'question',
      'whose',
      'missing-circuit',
      'call-again',
      'hold-started',
      'hold-not-over',
      'window-started',
      'time-left',
      'call-needles',
      'repeat',
      'verdict',
      'still-needed',
      'not-here',
    ],
    asking: 'ask',
    promptAfter: 60_000,
    clock: false,
    goesOn: false,
  },
  silent: {
    title: 'Silent examiner',
    about: 'The examiner listens and says nothing, the clock runs, and everything is on the score sheet at the end.',
    speaks: COURTESY,
    asking: 'assume',
    clock: true,
    goesOn: true,
  },
};

/** The answers that the trainee hears at a level, in order. */
export function spokenAt(level: LevelId, answers: readonly Answer[]): readonly Answer[] {
  const { speaks } = LEVEL[level];
  return speaks === 'everything' ? answers : answers.filter(({ type }) => speaks.includes(type));
}
