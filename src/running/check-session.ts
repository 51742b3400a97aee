import { problemLine, type Problem } from '../units/outcome.ts';
import type { Ms } from '../units/time.ts';
import type { Answer } from '../check/answer.ts';
import { nextDeadline } from '../check/deadline.ts';
import type { CheckEvent, StartEvent } from '../check/event.ts';
import { advance, replay, startCheck } from '../check/machine.ts';
import type { CheckState } from '../check/state.ts';

/** Keeps events. `append` resolves when the event is on disk; only then is it answered. Rejects when it cannot be kept. */
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
  /** After every event, once its answers have been handed to `answers`. */
  readonly onState: (state: CheckState) => void;
  /** Once when the record begins to fail, and once with `undefined` when all that was kept in memory is on disk. */
  readonly onProblem: (problem: Problem | undefined) => void;
}

/**
 * One check as it runs: keeps every event, in order, before it is answered. When an event cannot be kept, the check
 * goes on with the events held in memory, the operator is told once, and each further event tries to keep them all.
 */
export class CheckSession {
  private current: CheckState;
  private readonly ports: SessionPorts;
  private readonly unkept: CheckEvent[] = [];
  private failing = false;
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
    session.tell(answers);
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

  /** Events not yet on disk, in order. */
  get heldInMemory(): readonly CheckEvent[] {
    return this.unkept;
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
    this.tell(answers);
  }

  private tell(answers: readonly Answer[]): void {
    if (answers.length > 0) this.ports.answers.say(answers);
    this.ports.onState(this.current);
  }

  /** Appends what is unkept and then the event; what fails stays in memory. */
  private async keep(event: CheckEvent): Promise<void> {
    this.unkept.push(event);
    try {
      for (let next = this.unkept[0]; next !== undefined; next = this.unkept[0]) {
        await this.ports.events.append(next);
        this.unkept.shift();
      }
      if (this.failing) this.ports.onProblem(undefined);
      this.failing = false;
    } catch (cause) {
      if (!this.failing) this.ports.onProblem(notKept(cause));
      this.failing = true;
    }
  }
}

function notKept(cause: unknown): Problem {
  const why = cause instanceof Error ? cause.message : problemLine({ what: 'The store gave no reason.' });
  return {
    what: `The record of this check cannot be stored (${why}).`,
    where: 'record',
    repair: 'Go on: the check is kept in memory while this page stays open. Free some space, and export it at the end.',
  };
}
