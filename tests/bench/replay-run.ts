import planJson from '../../src/check/plans/full-cab-check.json' with { type: 'json' };
import profileJson from '../../src/judging/profiles/fire-practice.json' with { type: 'json' };
import { nextDeadline } from '../../src/check/deadline.ts';
import type { CheckEvent, StartEvent } from '../../src/check/event.ts';
import { listensFor } from '../../src/check/listens-for.ts';
import { advance, replay, startCheck } from '../../src/check/machine.ts';
import type { Plan } from '../../src/check/plan.ts';
import { parse } from '../../src/grammar/parse.ts';
import type { LimitProfile } from '../../src/judging/profile.ts';
import { ENGINE_31, fullCabCheckScript } from '../../src/rehearsal/synthetic-operator-script.ts';
import { layOut } from '../../src/rehearsal/synthetic-operator.ts';
import { loadGrammar } from '../support/grammar.ts';

/**
 * How many logs of a whole check are replayed per processor second, and, as a busy machine does everything slower, how many times as long
 * that takes as reading the same log as JSON. Prints one line.
 */
const WARM_UP = 500;
const ROUNDS = 60;
const CHECKS = 50;
const TARGET = 2_000;

/** The log of a full cab check on a rig in order, with its time events. */
function fullCheckLog(): CheckEvent[] {
  const grammar = loadGrammar();
  const start: StartEvent = {
    type: 'start',
    at: 0,
    wall: '2026-05-04T07:30:00Z',
    plan: planJson as unknown as Plan,
    profile: profileJson as unknown as LimitProfile,
    rig: { id: 'engine-31', name: 'Engine 31', unit: 'psi' },
    operator: 'A. Okafor',
    asking: 'ask',
  };
  const log: CheckEvent[] = [start];
  let { state } = startCheck(start);
  const take = (event: CheckEvent): void => {
    log.push(event);
    ({ state } = advance(state, event));
  };
  const script = fullCabCheckScript(ENGINE_31, { holdSeconds: 60, afterHold: 1_000 });
  for (const { text, at, end } of layOut(script, {
    lead: 500,
    pause: 2_000,
    speechLength: (words) => words.length * 70,
  })) {
    for (let due = nextDeadline(state); due !== undefined && due <= at; due = nextDeadline(state))
      take({ type: 'time', at: due });
    const meaning = parse(grammar, listensFor(state), text, 'psi');
    take({
      type: 'callout',
      at,
      end,
      heard: text,
      confidence: 0.9,
      source: 'voice',
      engine: 'embedded',
      ...(meaning === undefined ? {} : { meaning }),
    });
  }
  if (state.verdict !== 'pass') throw new Error(`the check of the log is ${String(state.verdict)}, not pass`);
  return log;
}

const log = fullCheckLog();
const json = JSON.stringify(log);
for (let round = 0; round < WARM_UP; round += 1) replay(log);

/** Processor seconds of doing something `CHECKS` times. */
function secondsOf(doing: () => unknown): number {
  const before = process.cpuUsage();
  for (let check = 0; check < CHECKS; check += 1) doing();
  return process.cpuUsage(before).user / 1e6;
}

function median(values: readonly number[]): number {
  return [...values].sort((a, b) => a - b)[Math.floor(values.length / 2)] ?? NaN;
}

// Side by side, so that both meet the same machine.
const rounds = Array.from({ length: ROUNDS }, () => ({
  replaying: secondsOf(() => replay(log)),
  reading: secondsOf(() => JSON.parse(json)),
}));
const all = rounds.reduce((sum, { replaying }) => sum + replaying, 0);
const best = Math.min(...rounds.map(({ replaying }) => replaying));
const ratio = median(rounds.map(({ replaying, reading }) => replaying / reading));
const rate = (checks: number, seconds: number): string => (checks / seconds).toFixed(0);
console.log(
  `replay: ${rate(CHECKS, best)} checks per processor second at best, ${rate(ROUNDS * CHECKS, all)} on average (target ${TARGET.toString()}); ${ratio.toFixed(1)} times as long as reading the log as JSON; ${log.length.toString()} events each`,
);
