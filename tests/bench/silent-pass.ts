import process from 'node:process';
import { parseArgs } from 'node:util';
import { transcriptOf } from '../support/silent-pass/transcript.ts';
import type { Trial } from '../support/silent-pass/trial.ts';
import { trial } from '../support/silent-pass/trial.ts';

/**
 * Random checks by simulated operators: every fault, every omission of the coach, and operators who forget, come late, exchange steps and
 * do other things in between. Nothing that a listener could know may pass while the rig or the way of measuring it is wrong; on a rig in
 * order, checked without a mistake, nothing may fail. Prints the first counter-example as a transcript.
 */
const FALSE_ALARMS_AT_MOST = 0.01;

const { values } = parseArgs({
  options: {
    checks: { type: 'string', default: '10000' },
    seed: { type: 'string', default: '1' },
    all: { type: 'boolean', default: false },
  },
});
const checks = Number(values.checks);
const from = Number(values.seed);

const count = { faulty: 0, passed: 0, unfinished: 0, healthy: 0 };
const silent: Trial[] = [];
const alarmed: Trial[] = [];
let unknowable = 0;
const begin = process.cpuUsage();
for (let seed = from; seed < from + checks; seed += 1) {
  const one = trial(seed);
  const { check, faults } = one.rehearsal;
  if (one.truth.size > 0) count.faulty += 1;
  if (check.verdict === 'incomplete') count.unfinished += 1;
  count.passed += check.records.filter(({ result }) => result.verdict === 'pass').length;
  if (one.wrong.some((wrong) => !wrong.unknowable)) silent.push(one);
  else if (one.wrong.length > 0) unknowable += 1;
  if (!one.orderly || one.truth.size > 0 || faults.length > 0) continue;
  count.healthy += 1;
  if (check.verdict === 'fail' || check.verdict === 'incomplete') alarmed.push(one);
}
const seconds = process.cpuUsage(begin).user / 1e6;

const ofAll = (part: number, all: number): string => `${part.toString()} of ${all.toString()}`;
console.log(
  `silent-pass, seeds ${from.toString()} to ${(from + checks - 1).toString()}: ${ofAll(count.faulty, checks)} rigs with a fault beyond the reading error; ${count.passed.toString()} steps passed; ${count.unfinished.toString()} checks incomplete; ${seconds.toFixed(0)} processor seconds`,
);
console.log(`passed silently, although all that mattered was said: ${ofAll(silent.length, checks)} checks (target 0)`);
console.log(
  `passed on a false word, or on what was done without a word: ${ofAll(unknowable, checks)} checks (no listener can know)`,
);
console.log(
  `false alarms on rigs in order, checked without a mistake: ${ofAll(alarmed.length, count.healthy)} checks (target ${(100 * FALSE_ALARMS_AT_MOST).toString()} % at most)`,
);
const kinds = new Map<string, number[]>();
for (const { wrong, seed } of silent) {
  for (const { step, what, unknowable: excused } of wrong) {
    if (excused) continue;
    const kind = `${step}: ${what.replace(/“.*”/, '…').replace(/\d+(\.\d+)?/g, '#')}`;
    kinds.set(kind, [...(kinds.get(kind) ?? []), seed]);
  }
}
for (const [kind, seeds] of kinds)
  console.log(`  ${seeds.length.toString()} × ${kind} (seeds ${seeds.slice(0, 5).join(', ')})`);
for (const one of values.all ? [...silent, ...alarmed] : [silent[0], alarmed[0]]) {
  if (one !== undefined) console.log(`\n${transcriptOf(one)}`);
}
if (silent.length > 0 || alarmed.length > FALSE_ALARMS_AT_MOST * count.healthy) process.exitCode = 1;
