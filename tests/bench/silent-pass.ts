import process from 'node:process';
import { parseArgs } from 'node:util';
import { transcriptOf } from '../support/silent-pass/transcript.ts';
import type { Fault } from '../../src/airsystem/fault.ts';
import { OMISSIONS } from '../../src/rehearsal/omission.ts';
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
/** Of each fault and omission: how often it was drawn, how often it lay beyond the reading error, how often it passed silently. */
const drawn = new Map<string, { drawn: number; beyond: number; silent: number }>();
const begin = process.cpuUsage();
for (let seed = from; seed < from + checks; seed += 1) {
  const one = trial(seed);
  const { check, faults } = one.rehearsal;
  const isSilent = one.wrong.some((wrong) => !wrong.unknowable);
  for (const kind of new Set([...faults.map(faultKind), ...one.omissions.map((name) => `omission ${name}`)])) {
    const before = drawn.get(kind) ?? { drawn: 0, beyond: 0, silent: 0 };
    drawn.set(kind, {
      drawn: before.drawn + 1,
      beyond: before.beyond + (one.truth.size > 0 ? 1 : 0),
      silent: before.silent + (isSilent ? 1 : 0),
    });
  }
  if (one.truth.size > 0) count.faulty += 1;
  if (check.verdict === 'incomplete') count.unfinished += 1;
  count.passed += check.records.filter(({ result }) => result.verdict === 'pass').length;
  if (isSilent) silent.push(one);
  else if (one.wrong.length > 0) unknowable += 1;
  if (!one.orderly || one.truth.size > 0 || faults.length > 0) continue;
  count.healthy += 1;
  if (check.verdict === 'fail' || check.verdict === 'incomplete') alarmed.push(one);
}
/** "leak, primary, always"; the size is not told. */
function faultKind(fault: Fault): string {
  const more = [...('circuit' in fault ? [fault.circuit] : []), ...('when' in fault ? [fault.when] : [])];
  return ['fault', [fault.kind, ...more].join(', ')].join(' ');
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
console.log('drawn, of these on a rig with a fault beyond the reading error, passed silently:');
for (const [kind, { drawn: times, beyond, silent: passed }] of [...drawn].sort(([one], [other]) =>
  one.localeCompare(other),
))
  console.log(
    `  ${kind.padEnd(44)}${times.toString().padStart(6)}${beyond.toString().padStart(6)}${passed.toString().padStart(6)}`,
  );
const missing = Object.keys(OMISSIONS).filter((name) => !drawn.has(`omission ${name}`));
if (missing.length > 0) console.log(`  never drawn: ${missing.join(', ')}`);
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
