import { nextDeadline } from '../check/deadline.ts';
import type { CheckEvent, StartEvent } from '../check/event.ts';
import { listensFor } from '../check/listens-for.ts';
import { advance, startCheck } from '../check/machine.ts';
import type { Answer } from '../check/answer.ts';
import type { CheckState } from '../check/state.ts';
import type { Ms } from '../units/time.ts';
import { calloutOf, countsOfAnother, type Said } from './callout-of.ts';
import type { Language } from './language.ts';

/** A check fed from a file: its state and everything that led to it. */
export interface CheckRun {
  readonly state: CheckState;
  readonly events: readonly CheckEvent[];
  /** What was answered since the last callout, that one included. */
  readonly answers: readonly Answer[];
}

export function beginRun(start: StartEvent): CheckRun {
  const { state, answers } = startCheck(start);
  return { state, events: [start], answers };
}

/** Takes what was said; time must have been passed to its onset (see `passTime`). */
export function take(run: CheckRun, said: Said, language: Pick<Language, 'parse'>): CheckRun {
  const { state } = run;
  const { unit } = state.start.rig;
  if (said.voice !== undefined && !countsOfAnother(said, listensFor(state), unit, language)) return run;
  return step({ ...run, answers: [] }, calloutOf(said, listensFor(state), unit, language));
}

/** Ends the check with the file, at `end` ms. */
export function endRun(run: CheckRun, end: Ms): CheckRun {
  return step(passTime(run, end), { type: 'end', at: end });
}

/** Tells the check of every deadline up to `until`, as a live check's clock would. */
export function passTime(run: CheckRun, until: Ms): CheckRun {
  let passed = run;
  for (;;) {
    const deadline = nextDeadline(passed.state);
    if (deadline === undefined || deadline > until) return passed;
    const next = step(passed, { type: 'time', at: deadline });
    if (nextDeadline(next.state) === deadline)
      throw new Error(`the check asks for the same deadline twice (${deadline} ms)`);
    passed = next;
  }
}

function step(run: CheckRun, event: CheckEvent): CheckRun {
  const { state, answers } = advance(run.state, event);
  return { state, events: [...run.events, event], answers: [...run.answers, ...answers] };
}
