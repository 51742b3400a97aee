import process from 'node:process';
import { randomFrom } from '../../src/airsystem/scenario.ts';
import { FALSE_ALARMS, findOddities } from '../../src/audit/oddities/oddities.ts';
import type { SpokenCheck } from '../../src/audit/oddities/spoken-check.ts';
import { soundDistance } from '../../src/hearing/sound-print.ts';
import { habit, honestCheck, readOff } from '../support/oddities/honest.ts';
import { INVENTIONS } from '../support/oddities/made-up.ts';
import { sounds } from '../support/oddities/sounds.ts';
import { pick } from '../support/silent-pass/random.ts';

/**
 * What the audit says of honest checks and of made-up ones. Simulated operators check simulated rigs day by day (`RIGS` of them, so many
 * `DAYS`); audits draw from these, on dials of 1, 2 and 5 psi. Prints the share of audits with an oddity: of honest checks a false alarm.
 */
const RIGS = Number(process.argv[2] ?? 16);
const DAYS = Number(process.argv[3] ?? 24);
const AUDITS = Number(process.argv[4] ?? 800);
const CHECKS = 20;

const random = randomFrom(2026);
const rigs: SpokenCheck[][] = [];
const began = process.cpuUsage();
for (let rig = 0; rig < RIGS; rig += 1) {
  const kept = habit(random);
  rigs.push(Array.from({ length: DAYS }, (_, day) => honestCheck(random, kept, day)));
}
console.log(
  `oddities: ${RIGS * DAYS} checks simulated in ${(process.cpuUsage(began).user / 1e6).toFixed(0)} s of processor`,
);
tellScatter();
tellAlike();
await tellSounds();

const drawn = (count: number): SpokenCheck[] =>
  pick(random, rigs)
    .toSorted(() => random() - 0.5)
    .slice(0, count)
    .map(dated);
const dated = (check: SpokenCheck, at: number): SpokenCheck => ({
  ...check,
  wall: new Date(Date.UTC(2026, 0, 1 + at, 7)).toISOString(),
});

for (const resolution of [1, 2, 5]) {
  for (const [style, invent] of [
    ['honest', (checks: readonly SpokenCheck[]) => [...checks]] as const,
    ...Object.entries(INVENTIONS),
  ]) {
    let told = 0;
    const kinds = new Map<string, number>();
    const audits = style === 'honest' ? AUDITS : AUDITS / 8;
    for (let nth = 0; nth < audits; nth += 1) {
      const honest = readOff(drawn(CHECKS), resolution, random);
      const { oddities } = await findOddities(invent(honest, random));
      if (oddities.length > 0) told += 1;
      for (const { kind } of oddities) kinds.set(kind, (kinds.get(kind) ?? 0) + 1);
    }
    const by = [...kinds].map(([kind, count]) => `${kind} ${count}`).join(', ');
    const target = style === 'honest' ? ` (at most ${100 * FALSE_ALARMS} % wanted)` : '';
    console.log(
      `dial of ${resolution} psi, ${CHECKS} checks, ${style}: an oddity in ${told} of ${audits} audits${target}${by === '' ? '' : `: ${by}`}`,
    );
  }
}

/** How far needles scatter from day to day, by test: the least of all rigs, and the middle one. */
function tellScatter(): void {
  const tests = new Map<string, number[]>();
  for (const days of rigs) {
    for (const [nth, { test, nth: reading, circuit }] of (days[0]?.needles ?? []).entries()) {
      const values = days.map(({ needles }) => needles[nth]?.value ?? Number.NaN).filter(Number.isFinite);
      const mean = values.reduce((sum, each) => sum + each, 0) / values.length;
      const scatter = Math.sqrt(values.reduce((sum, each) => sum + (each - mean) ** 2, 0) / (values.length - 1));
      const key = `${test} ${reading} ${circuit}`;
      tests.set(key, [...(tests.get(key) ?? []), scatter]);
    }
  }
  for (const [test, scatters] of tests) {
    const inOrder = scatters.toSorted((a, b) => a - b);
    console.log(`  scatter ${test}: ${inOrder[0]?.toFixed(2)} to ${inOrder.at(-1)?.toFixed(2)} psi`);
  }
}

/** How often two honest days of one rig differ in no needle, and in one at most, by dial: the most of all rigs. */
function tellAlike(): void {
  for (const resolution of [1, 2, 5]) {
    const most = [0, 1].map((differing) => {
      const shares = rigs.map((days) => {
        let [alike, pairs] = [0, 0];
        for (let nth = 0; nth < 20; nth += 1) {
          const called = readOff(days, resolution, random).map(({ needles }) => needles.map(({ value }) => value));
          for (const [at, one] of called.entries()) {
            alike += called.slice(0, at).filter((other) => differ(one, other) <= differing).length;
            pairs += at;
          }
        }
        return alike / pairs;
      });
      return (100 * Math.max(...shares)).toFixed(1);
    });
    console.log(
      `  dial of ${resolution} psi: of 100 pairs of honest days of one rig at most ${most[0]} are alike in every needle, ${most[1]} in all but one`,
    );
  }
}

function differ(one: readonly number[], other: readonly number[]): number {
  return one.filter((value, nth) => value !== other[nth]).length;
}

/** Clips of synthetic voices over an engine: how far the sounds of one sentence differ, and copies of one; how far speech and an engine stand out. */
async function tellSounds(): Promise<void> {
  for (const snr of [20, 10, 5]) {
    const all = await sounds(8, snr, random);
    const anew = all.flatMap(({ anew: prints }) =>
      prints.flatMap((one, at) => prints.slice(0, at).map((other) => soundDistance(one, other))),
    );
    const copies = all.flatMap(({ anew: [first], copies: prints }) =>
      first === undefined ? [] : prints.map((print) => soundDistance(first, print)),
    );
    const speech = all.flatMap(({ anew: on, engineOff }) => [...on, ...engineOff].map((print) => print.speech));
    const silent = all.flatMap((each) => each.silent.map((print) => print.speech));
    const [on, off] = [all.flatMap((each) => each.anew), all.flatMap((each) => each.engineOff)].map((prints) =>
      prints.map(({ rumble }) => rumble),
    );
    console.log(
      `sounds, words ${snr} dB above the engine: ${anew.length} pairs of one sentence said twice differ in ${range(anew, 100)} %, ${copies.length} copies in ${range(copies, 100)} %; ` +
        `speech stands out by ${range(speech)} dB, nobody by ${range(silent)}; rumble ${range(on ?? [])} dB with the engine, ${range(off ?? [])} without`,
    );
  }
}

function range(values: readonly number[], times = 1): string {
  return `${(times * Math.min(...values)).toFixed(0)} to ${(times * Math.max(...values)).toFixed(0)}`;
}
