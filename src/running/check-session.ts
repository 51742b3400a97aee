import { problemLine, type Problem } from '../units/outcome.ts';
import type { Ms } from '../units/time.ts';
import type { Answer } from '../check/answer.ts';
import { nextDeadline } from '../check/deadline.ts';
import type { CheckEvent, StartEvent } from '../check/event.ts';
import { advance, replay, startCheck } from '../check/machine.ts';
import type { CheckState } from '../check/state.ts';

/**
 * Keeps events. `append` resolves when the event is kept; only then is it answered. A store bridges the troubles of its disk
 * itself: it rejects only what it will never take, as when another tab writes the same check.
 */
interface EventSink {
  append(event: CheckEvent): Promise<void>;
}

/** Tells the operator. */
interface AnswerSink {
  say(answers: readonly Answer[]): void;
}

export interface SessionPorts {
  readonly events: EventSink;
  readonly answers: AnswerSink;
  /** Resolves when answers that were handed to `answers` have begun to sound: what takes time comes after it. */
  readonly begun?: () => Promise<void>;
  /** After every event, once its answers have been handed to `answers`. */
  readonly onState: (state: CheckState) => void;
  /** At most once: the record takes no more. */
  readonly onProblem: (problem: Problem) => void;
}

/**
 * One check as it runs: keeps every event, in order, before it is answered. When the record takes no more, the check goes
 * on without it, and the operator is told once.
 */
export class CheckSession {
  private current: CheckState;
  private readonly ports: SessionPorts;
  private refused = false;
  private queue: Promise<void> = Promise.resolve();

  private constructor(state: CheckState, ports: SessionPorts) {
    this.current = state;
    this.ports = ports;
  }

  /** Begins a check: keeps its start, then says the first brief. */
  static async begin(start: StartEvent, ports: SessionPorts): Promise<CheckSession> {
    const { state, answers } = startCheck(start);
    const session = new CheckSession(state, ports);
    await session.keep(start);
    await session.tell(answers);
    return session;
  }

  /**
   * Takes up a check from its stored events, which begin with the start. Says nothing: submit an `interrupted` and a
   * `resumed` event next.
   */
  static resume(stored: readonly CheckEvent[], ports: SessionPorts): CheckSession {
    return new CheckSession(replay(stored), ports);
  }

  get state(): CheckState {
    return this.current;
  }

  /** One event at a time, in the order submitted; resolves when it has been answered. Never rejects because of the sink. */
  submit(event: CheckEvent): Promise<void> {
    return this.enqueue(() => this.handle(event));
  }

  /**
   * The sample clock has come to `at`: submits one time event when a deadline is due. Several that are due at once (a
   * page that slept) are one event, so that a count is never caught up aloud.
   */
  tick(at: Ms): Promise<void> {
    return this.enqueue(async () => {
      const due = nextDeadline(this.current);
      if (due !== undefined && due <= at) await this.handle({ type: 'time', at });
    });
  }

  private enqueue(work: () => Promise<void>): Promise<void> {
    const done = this.queue.then(work);
    // A throw of one piece of work is its caller's; it must not stop what comes after it.
    this.queue = done.catch(() => undefined);
    return done;
  }

  private async handle(event: CheckEvent): Promise<void> {
    await this.keep(event);
    const { state, answers } = advance(this.current, event);
    this.current = state;
    await this.tell(answers);
  }

  private async tell(answers: readonly Answer[]): Promise<void> {
    if (answers.length > 0) {
      this.ports.answers.say(answers);
      await this.ports.begun?.();
    }
    this.ports.onState(this.current);
  }

  /** After an event that was refused nothing more is kept: a log with a hole would tell of another check. */
  private async keep(event: CheckEvent): Promise<void> {
    if (this.refused) return;
    try {
      await this.ports.events.append(event);
    } catch (cause) {
      this.refused = true;
      this.ports.onProblem(notKept(cause));
    }
  }
}

function notKept(cause: unknown): Problem {
  const why = cause instanceof Error ? cause.message : problemLine({ what: 'The store gave no reason.' });
  return {
    what: `The record of this check ends here: it takes no more (${why}).`,
    where: 'record',
    repair: 'The check goes on and is judged, but what is called from now on is lost with this page.',
  };
}
