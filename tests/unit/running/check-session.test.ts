import { describe, expect, it, vi } from 'vitest';
import type { Answer } from '../../../src/check/answer.ts';
import type { CheckEvent } from '../../../src/check/event.ts';
import { CheckSession, type SessionPorts } from '../../../src/running/check-session.ts';
import type { CheckState } from '../../../src/check/state.ts';
import type { Problem } from '../../../src/units/outcome.ts';
import { needles, only, startOf, Walk, type Said } from '../check/support/say.ts';

/** Ports that write down what happens, in order; `broken` makes the store refuse. */
function ports(): SessionPorts & {
  broken: boolean;
  order: string[];
  stored: CheckEvent[];
  states: CheckState[];
  problems: Problem[];
} {
  const here = {
    broken: false,
    order: [] as string[],
    stored: [] as CheckEvent[],
    states: [] as CheckState[],
    problems: [] as Problem[],
    events: {
      async append(event: CheckEvent): Promise<void> {
        await Promise.resolve();
        if (here.broken) throw new Error('quota exceeded');
        here.stored.push(event);
        here.order.push(`kept ${event.type}`);
      },
    },
    answers: {
      say(answers: readonly Answer[]): void {
        here.order.push(...answers.map(({ type }) => `said ${type}`));
      },
    },
    onState(state: CheckState): void {
      here.states.push(state);
    },
    onProblem(problem: Problem): void {
      here.problems.push(problem);
    },
  };
  return here;
}

const START = startOf({ plan: only('governor-cut-in', 'static-leakage') });
const callouts = (...said: readonly Said[]): CheckEvent[] => new Walk(START).sayAll(...said).events.slice(1);

describe('a running check', () => {
  it('keeps each event before it answers it, one after the other in the order submitted', async () => {
    const here = ports();
    const session = await CheckSession.begin(START, here);
    await Promise.all(callouts('cut-in', needles(98, 97)).map((event) => session.submit(event)));
    expect(here.order).toEqual([
      'kept start',
      'said brief',
      'kept callout',
      'said noted',
      'kept callout',
      'said read-back',
      'said verdict',
      'said brief',
    ]);
    expect(here.states.at(-1)).toBe(session.state);
  });

  it('lets an answer begin to sound before anything is made of it', async () => {
    const here = ports();
    let sounds: () => void = () => undefined;
    const begun = (): Promise<void> => new Promise((resolve) => (sounds = resolve));
    const beginning = CheckSession.begin(START, { ...here, begun });
    await vi.waitFor(() => expect(here.order).toEqual(['kept start', 'said brief']));
    expect(here.states).toHaveLength(0);
    sounds();
    await beginning;
    expect(here.states).toHaveLength(1);
  });

  it('lets the sample clock call the deadlines', async () => {
    const here = ports();
    const session = await CheckSession.begin(startOf({ plan: only('static-leakage') }), here);
    for (const event of callouts('engine-off', 'brakes-released', 'settled', needles(118, 117)))
      await session.submit(event);
    const start = session.state.progress.readings[0]?.end ?? 0;
    await session.tick(start + 29_999);
    expect(here.stored.at(-1)?.type).toBe('callout');
    await session.tick(start + 30_000);
    expect(here.order.slice(-2)).toEqual(['kept time', 'said time-left']);
    await session.tick(start + 30_100);
    expect(here.stored.filter(({ type }) => type === 'time')).toHaveLength(1);
  });

  it('goes on without the record when that refuses an event, says so once, and leaves no hole in it', async () => {
    const here = ports();
    const session = await CheckSession.begin(START, here);
    here.broken = true;
    const [first, second, ...rest] = callouts('cut-in', 'say-again', needles(98, 97));
    await session.submit(first!);
    here.broken = false;
    await session.submit(second!);
    await session.submit(rest[0]!);
    expect(here.problems).toHaveLength(1);
    expect(here.problems[0]?.what).toMatch(/ends here.*quota exceeded/);
    expect(here.stored).toEqual([START]);
    // Judged all the same.
    expect(session.state.records).toHaveLength(1);
  });

  it('is taken up from its stored events at the same step', async () => {
    const here = ports();
    const session = await CheckSession.begin(START, here);
    for (const event of callouts('cut-in', needles(98, 97), 'engine-off')) await session.submit(event);
    const again = ports();
    const resumed = CheckSession.resume(here.stored, again);
    expect(resumed.state).toEqual(session.state);
    await resumed.submit({ type: 'interrupted', at: 90_000, why: 'page-closed' });
    await resumed.submit({ type: 'resumed', at: 91_000, wall: '2026-05-04T07:31:40Z' });
    expect(again.order.at(-1)).toBe('said still-needed');
    expect(resumed.state.index).toBe(1);
  });
});
