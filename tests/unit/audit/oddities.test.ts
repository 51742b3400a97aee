import { describe, expect, it } from 'vitest';
import { randomFrom } from '../../../src/airsystem/scenario.ts';
import { atLeast, standing, tail } from '../../../src/audit/oddities/chance.ts';
import type { OddityKind } from '../../../src/audit/oddities/finding.ts';
import { findOddities, oddityLine } from '../../../src/audit/oddities/oddities.ts';
import { spokenCheck, type SpokenCheck } from '../../../src/audit/oddities/spoken-check.ts';
import { soundDistance, soundPrint } from '../../../src/hearing/sound-print.ts';
import { without } from '../../../src/units/without.ts';
import { drawn } from '../../support/seed.ts';
import { normal } from '../../support/oddities/honest.ts';
import { INVENTIONS } from '../../support/oddities/made-up.ts';
import { between, type Random } from '../../support/silent-pass/random.ts';
import { logOfCheck, newSigner, wholeCheck } from '../record/logs.ts';

const PLACES = [
  ['pre-start-fill', 1, 75],
  ['governor-cut-out', 1, 124],
  ['governor-cut-in', 1, 98],
  ['static-leakage', 2, 118],
  ['applied-leakage', 2, 106],
  ['low-air-warning', 1, 66],
  ['spring-brake-activation', 1, 37],
] as const;

/** Honest days of a healthy rig, drawn: its needles stand within a psi or so, and are read to the nearest mark. The bench simulates them. */
function honest(random: Random, { mark = 1, days = 20, scatter = 0.8, rigId = 'engine-31' } = {}): SpokenCheck[] {
  const usual = PLACES.map(([, , psi]) => psi + between(random, -5, 5));
  return Array.from({ length: days }, (_, day) => ({
    id: `${rigId} ${day}`,
    rigId,
    rigName: 'Engine 31',
    operator: 'A. Okafor',
    wall: new Date(Date.UTC(2026, 4, 1 + day, 7)).toISOString(),
    needles: PLACES.flatMap(([test, readings], place) => {
      const today = (usual[place] ?? 0) + normal(random, scatter);
      return Array.from({ length: 2 * readings }, (_each, at) => ({
        step: test,
        test,
        nth: Math.floor(at / 2),
        circuit: at % 2 === 0 ? ('primary' as const) : ('secondary' as const),
        value: mark * Math.round((today - at / 3 + normal(random, 0.15 * mark)) / mark),
        unit: 'psi' as const,
        resolution: mark,
      }));
    }),
    holds: [1, 2].map(() => 61_000 + normal(random, 250)),
    gaps: Array.from({ length: 30 }, () => 4_000 + normal(random, 700)),
    clips: [],
  }));
}

const kindsIn = async (checks: readonly SpokenCheck[]): Promise<OddityKind[]> =>
  (await findOddities(checks)).oddities.map(({ kind }) => kind);

describe('what the audit finds odd', () => {
  it('is hardly ever something in honest checks, on dials of 1, 2 and 5 psi', async () => {
    const random = drawn('honest checks');
    let told = 0;
    for (const mark of [1, 2, 5])
      for (let audit = 0; audit < 20; audit += 1)
        if ((await kindsIn(honest(random, { mark, scatter: pick3(audit) }))).length > 0) told += 1;
    // One in a hundred is what it promises; four of sixty would be once in three thousand runs.
    expect(told).toBeLessThan(4);
  });

  it.each([
    ['copied from an old sheet', 'same-needles'],
    ['round numbers', 'whole-steps'],
    ['the same round numbers', 'same-needles'],
    ['holds of 60.0 s', 'even-holds'],
    ['a copied file under a new date', 'same-pauses'],
    ['the same clip once', 'same-sound'],
  ] as const)('is found in checks made up by %s', async (style, kind) => {
    const random = drawn(style);
    expect(await kindsIn(INVENTIONS[style]!(honest(random), random))).toContain(kind);
  });

  it('is one sound that stands for two callouts of a single check', async () => {
    const [check] = honest(drawn('one check'), { days: 1 });
    const clips = ['opening', 'other', 'opening'].map((digest) => ({ digest, heard: 'both at one twenty' }));
    expect(await kindsIn([{ ...check!, clips }])).toEqual(['same-sound']);
  });

  it('is told of those checks alone, among honest ones of many rigs', async () => {
    const random = drawn('many rigs');
    const others = Array.from({ length: 8 }, (_, nth) => honest(random, { rigId: `rig-${nth}`, days: 12 })).flat();
    const sheet = INVENTIONS['copied from an old sheet']!(honest(random, { days: 15 }), random).map((check) => ({
      ...check,
      rigName: 'Tender 34',
      rigId: 'tender-34',
    }));
    const { oddities, groups } = await findOddities([...others, ...sheet]);
    expect(groups).toBe(9);
    expect(oddities.map(({ rigName, kind }) => `${rigName} ${kind}`)).toContain('Tender 34 same-needles');
    const [line] = oddities.filter(({ rigName }) => rigName === 'Tender 34').map(oddityLine);
    expect(line).toMatch(
      /^Tender 34, A\. Okafor, 15 checks: .*; expected: .*\. Honest checks show as much in .* audits\. It may also come from /,
    );
  });

  it('is not asked where the dial is not known, nor of a few checks', async () => {
    const random = randomFrom(1);
    const unnamed = honest(random).map((check) => ({
      ...check,
      needles: check.needles.map((needle) => without(needle, 'resolution')),
    }));
    const { notAsked } = await findOddities(INVENTIONS['round numbers']!(unnamed, random));
    expect(
      notAsked
        .filter(({ why }) => why.includes('(Rigs)'))
        .map(({ kind }) => kind)
        .sort(),
    ).toEqual(['digits', 'same-needles', 'whole-steps']);
    expect(await kindsIn(honest(random, { days: 3 }))).toEqual([]);
  });

  it('does not take a rig on a dial of 5 psi for odd because it reads the same every day', async () => {
    const random = drawn('coarse dial');
    expect(await kindsIn(honest(random, { mark: 5, scatter: 0.1, days: 12 }))).not.toContain('whole-steps');
  });
});

const pick3 = (nth: number): number => [0.15, 0.8, 2][nth % 3] ?? 0.8;

describe('a check as the audit reads it', () => {
  it('has its needles, holds and pauses from the log', async () => {
    const log = await logOfCheck(wholeCheck(), await newSigner());
    const check = await spokenCheck(log);
    expect(check?.needles.filter(({ step }) => step === 'static-leakage').map(({ value }) => value)).toEqual([
      118, 117, 117, 116,
    ]);
    expect(check?.holds).toHaveLength(2);
    expect(check?.gaps.length).toBeGreaterThan(25);
  });

  it('knows the sounds of which an engine is said to be', async () => {
    const events = wholeCheck().map((event, at) =>
      event.type === 'callout' ? { ...event, clip: `c${at}`, clipDigest: `${at}`.padStart(64, '0') } : event,
    );
    const check = await spokenCheck(await logOfCheck(events, await newSigner()));
    const engineOf = (heard: string): (boolean | undefined)[] =>
      check?.clips.filter((clip) => clip.heard === heard).map(({ engine }) => engine) ?? [];
    expect(engineOf('cut-out')).toEqual([true, true, true]);
    expect(engineOf('settled')).toEqual([false, false]);
    expect(engineOf('chocks-set')).toEqual([undefined]);
  });
});

describe('the print of a sound', () => {
  const RATE = 16_000;
  /** Bursts of noise, as syllables are: another seed is another sound. */
  function babble(random: Random, seconds = 1.5): Float32Array {
    let [level, colour, last] = [0, 0.5, 0];
    return Float32Array.from({ length: seconds * RATE }, (_, at) => {
      if (at % 1600 === 0)
        [level, colour] = [random() < 0.3 ? 0.01 : between(random, 0.1, 0.5), between(random, 0.1, 0.9)];
      last += colour * (2 * random() - 1 - last);
      return level * last;
    });
  }

  it('is nearly the same of one sound that was cut elsewhere, made softer, and hissed over', () => {
    const random = drawn('babble');
    const sound = babble(random);
    const copy = sound.subarray(1000).map((sample) => 0.5 * sample + 0.001 * (2 * random() - 1));
    expect(soundDistance(soundPrint(sound)!, soundPrint(copy)!)).toBeLessThan(0.2);
    expect(soundDistance(soundPrint(sound)!, soundPrint(babble(random))!)).toBeGreaterThan(0.25);
  });

  it('tells speech from a steady noise, and an engine from none', () => {
    const random = drawn('engine');
    const hiss = Float32Array.from({ length: RATE }, () => 0.1 * (2 * random() - 1));
    const engine = hiss.map((sample, at) => sample + 0.2 * Math.sin((2 * Math.PI * 100 * at) / RATE));
    expect(soundPrint(hiss)!.speech).toBeLessThan(4);
    expect(soundPrint(babble(random))!.speech).toBeGreaterThan(4);
    expect(soundPrint(engine)!.rumble).toBeGreaterThan(soundPrint(hiss)!.rumble + 6);
  });

  it('is none of a sound that is too short', () => expect(soundPrint(new Float32Array(RATE / 3))).toBeUndefined());
});

describe('chances', () => {
  it('are those of the binomial distribution', () => {
    // 10 throws of a coin, 8 heads or more: (45 + 10 + 1) / 1024.
    expect(atLeast(8, 10, 0.5)).toBeCloseTo(56 / 1024, 12);
    expect(atLeast(3, 3, 0.1)).toBeCloseTo(0.001, 12);
  });

  it('are those of a sum of two dice', () => {
    const die = [1, 2, 3, 4, 5, 6].map((eyes): [number, number] => [eyes, 1 / 6]);
    expect(tail(11, [die, die])).toBeCloseTo(3 / 36, 12);
  });

  it('stand together as Holm has them', () => {
    const found = [0.001, 0.004, 0.2].map((chance) => ({ chance }));
    expect(standing(found, 0.01).map(({ ofAll }) => ofAll)).toEqual([0.003, 0.008]);
    expect(standing(found, 0.005)).toHaveLength(1);
  });
});
