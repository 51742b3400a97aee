import type { Answer } from './answer.ts';
import type { CheckEvent } from './event.ts';

/** Keeps events. `append` resolves when the event is on disk; only then is it answered. */
export interface EventSink {
  append(event: CheckEvent): Promise<void>;
}

/** Tells the operator. */
export interface AnswerSink {
  say(answers: readonly Answer[]): void;
}
