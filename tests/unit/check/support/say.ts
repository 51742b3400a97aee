import profileJson from '../../../../src/judging/profiles/fire-practice.json' with { type: 'json' };
import planJson from '../../../../src/check/plans/full-cab-check.json' with { type: 'json' };
import type { Answer } from '../../../../src/check/answer.ts';
import { nextDeadline } from '../../../../src/check/deadline.ts';
import type { CalloutEvent, CheckEvent, StartEvent } from '../../../../src/check/event.ts';
import { listensFor } from '../../../../src/check/listens-for.ts';
import { advance, startCheck } from '../../../../src/check/machine.ts';
import type { Plan } from '../../../../src/check/plan.ts';
import type { CheckState } from '../../../../src/check/state.ts';
import type { Command, Meaning, SpokenReading } from '../../../../src/grammar/meaning.ts';
import type { LimitProfile } from '../../../../src/judging/profile.ts';
import type { RigSettings } from '../../../../src/judging/result.ts';

export const FULL = planJson as unknown as Plan;
const PRACTICE = profileJson as unknown as LimitProfile;
const ENGINE_31: RigSettings = { id: 'engine-31', name: 'Engine 31', unit: 'psi' };
export const TENDER_34: RigSettings = { id: 'tender-34', name: 'Tender 34', unit: 'psi', fitted: { handValve: true } };

export function startOf(more: Partial<StartEvent> = {}): StartEvent {
  return {
    type: 'start',
    at: 0,
    wall: '2026-05-04T07:30:00Z',
    plan: FULL,
    profile: PRACTICE,
    rig: ENGINE_31,
    operator: 'A. Okafor',
    asking: 'ask',
    ...more,
  };
}

/** The plan cut down to some of its steps. */
export function only(...ids: readonly string[]): Plan {
  return { ...FULL, id: 'part', steps: FULL.steps.filter(({ id }) => ids.includes(id)) };
}

export function needles(primary: number, secondary: number): SpokenReading {
  return { primary: { value: primary, unit: 'psi' }, secondary: { value: secondary, unit: 'psi' } };
}

export function primary(value: number): SpokenReading {
  return { primary: { value, unit: 'psi' } };
}

export function secondary(value: number): SpokenReading {
  return { secondary: { value, unit: 'psi' } };
}

/** What is said: a cue id or several, a command, a reading, or a whole meaning. */
export type Said = string | SpokenReading | Meaning;

const COMMAND_WORDS: ReadonlySet<string> = new Set<Command>([
  'yes',
  'no',
  'say-again',
  'how-long',
  'correction',
  'go-back',
  'skip',
  'pause',
  'resume',
  'note',
  'stop-check',
]);

function meaningOf(said: Said): Meaning {
  if (typeof said !== 'string') return 'cues' in said ? said : { cues: [], reading: said };
  if (COMMAND_WORDS.has(said)) return { cues: [], command: said as Command };
  return { cues: said.split(' ') };
}

/** A check driven by hand: what is said and when, in seconds on the sample clock. */
export class Walk {
  state: CheckState;
  /** Every answer so far, and those to the last thing said. */
  readonly all: Answer[] = [];
  last: readonly Answer[];
  readonly events: CheckEvent[];
  /** Where `say` without a time stands. */
  time = 1;

  constructor(start: StartEvent = startOf()) {
    const begun = startCheck(start);
    this.state = begun.state;
    this.events = [start];
    this.last = begun.answers;
    this.all.push(...begun.answers);
  }

  send(event: CheckEvent): this {
    this.events.push(event);
    const { state, answers } = advance(this.state, event);
    this.state = state;
    this.last = answers;
    this.all.push(...answers);
    return this;
  }

  /** Says something at `at` s (2 s after the last when absent) that lasts `lasting` s. */
  say(
    said: Said,
    {
      at = this.time + 2,
      lasting = 1,
      ...more
    }: { at?: number; lasting?: number } & Partial<Omit<CalloutEvent, 'at'>> = {},
  ): this {
    this.time = at + lasting;
    return this.send({
      type: 'callout',
      at: at * 1000,
      end: this.time * 1000,
      heard: typeof said === 'string' ? said : 'words',
      confidence: 0.9,
      source: 'voice',
      meaning: meaningOf(said),
      ...more,
    });
  }

  /** Words that mean nothing to the grammar, at `at` s or 2 s after the last. */
  murmur(
    heard: string,
    { at = this.time + 2, source = 'voice' }: { at?: number; source?: CalloutEvent['source'] } = {},
  ): this {
    this.time = at + 1;
    return this.send({ type: 'callout', at: at * 1000, end: this.time * 1000, heard, confidence: 0.2, source });
  }

  /** What was called in steps before those of the plan, at the very beginning. */
  knowing(...cues: readonly string[]): this {
    const time = this.time;
    for (const cue of cues) this.say(cue, { at: 0, lasting: 0 });
    this.time = time;
    return this;
  }

  /** Says several things, one after the other. */
  sayAll(...list: readonly Said[]): this {
    for (const said of list) this.say(said);
    return this;
  }

  /** Lets time pass to `at` s, with a time event at each deadline on the way. */
  waitTo(at: number): this {
    for (let due = nextDeadline(this.state); due !== undefined && due <= at * 1000; due = nextDeadline(this.state)) {
      this.send({ type: 'time', at: due });
    }
    this.time = at;
    return this;
  }

  get types(): string[] {
    return this.last.map(({ type }) => type);
  }

  get rules(): string[] {
    return listensFor(this.state);
  }

  /** Id of the step under way. */
  get step(): string | undefined {
    return this.state.start.plan.steps[this.state.index]?.id;
  }

  verdict(id: string): string | undefined {
    return this.state.records.find((record) => record.id === id)?.result.verdict;
  }
}
