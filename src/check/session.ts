import type { Problem } from '../units/outcome.ts';
import type { Ms } from '../units/time.ts';
import type { Answer } from './answer.ts';
import type { CheckEvent } from './event.ts';
import type { CheckState } from './state.ts';

/** Keeps events. `append` resolves when the event is on disk; only then is it answered. Rejects when it cannot be kept. */
export interface EventSink {
  append(event: CheckEvent): Promise<void>;
}

/** Tells the operator. */
export interface AnswerSink {
  say(answers: readonly Answer[]): void;
}

export interface SessionPorts {
  readonly events: EventSink;
  readonly answers: AnswerSink;
  /** After every event, once its answers have been handed to `answers`. */
  readonly onState: (state: CheckState) => void;
  /** Once when the record starts to fail, and once (`undefined`) when everything kept in memory is on disk again. */
  readonly onProblem: (problem: Problem | undefined) => void;
}
