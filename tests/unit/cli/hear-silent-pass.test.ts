import { mkdtempSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { hearCommand } from '../../../src/cli/hear/hear-command.ts';
import type { HearReport } from '../../../src/cli/hear/hear-report.ts';

/** What is said and the seconds of silence before it; a minute of a hold is 61 s. Common practice, no source. */
type Said = readonly [words: string, after?: number];

const START: readonly Said[] = [
  ['chocks set'],
  ['walk round complete'],
  ['mirrors set'],
  ['ignition on'],
  ['both at seventy five'],
  ['engine started'],
];
const CUT_OUT: readonly Said[] = [['governor cut out'], ['both at one twenty four']];
const CUT_IN: readonly Said[] = [['needles rising'], ['both at ninety eight']];
const REFILL: readonly Said[] = [['governor cut out'], ['both at one twenty four']];
const STATIC: readonly Said[] = [
  ['engine off'],
  ['brakes released'],
  ['settled'],
  ['both at one twenty'],
  ['both at one twenty', 61],
];
const APPLIED: readonly Said[] = [['brake applied'], ['settled'], ['both at one ten'], ['both at one ten', 61]];
const WARNING: readonly Said[] = [['buzzer'], ['both at sixty five']];
const SPRING: readonly Said[] = [['valve popped'], ['both at thirty eight']];
const BUILD: readonly Said[] = [
  ['engine started'],
  ['fast idle set'],
  ['both at eighty five'],
  ['both at one hundred', 31],
];
const FILL: readonly Said[] = [['governor cut out'], ['both at one twenty four'], ['fast idle off']];
const TUG: readonly Said[] = [['chocks stowed'], ['belts on'], ['in drive'], ['rig held']];
const STOP: readonly Said[] = [['straight stop'], ['check complete']];

const PARTS = { START, CUT_OUT, CUT_IN, REFILL, STATIC, APPLIED, WARNING, SPRING, BUILD, FILL, TUG, STOP };

/** A whole check in order, with some of its parts said otherwise. */
function check(changed: Partial<Record<keyof typeof PARTS, readonly Said[]>> = {}): readonly Said[] {
  return Object.values({ ...PARTS, ...changed }).flat();
}

function vtt(lines: readonly Said[]): string {
  const stamp = (ms: number): string => new Date(ms).toISOString().slice(11, 23);
  let at = 0;
  const cues = lines.map(([words, after = 2]) => {
    at += after * 1000;
    const cue = `${stamp(at)} --> ${stamp(at + 1500)}\n${words}`;
    at += 1500;
    return cue;
  });
  return `WEBVTT\n\n${cues.join('\n\n')}\n`;
}

const folder = mkdtempSync(join(tmpdir(), 'silent-pass-'));

async function hear(
  lines: readonly Said[],
  ...more: readonly string[]
): Promise<{ status: number; table: string; report: HearReport }> {
  const file = join(folder, 'check.vtt');
  writeFileSync(file, vtt(lines));
  let table = '';
  let json = '';
  const status = await hearCommand([file, ...more], { out: (text) => (table += text), err: () => undefined });
  await hearCommand([file, '--json', ...more], { out: (text) => (json = text), err: () => undefined });
  return { status, table, report: JSON.parse(json) as HearReport };
}

const verdictOf = ({ steps }: HearReport, id: string): string | undefined =>
  steps.find((step) => step.id === id)?.verdict;

describe('a transcript of a check done as the plan says', () => {
  it('passes with status 0, and names for each verdict what it rests on', async () => {
    const { status, table, report } = await hear(check());
    expect(status).toBe(0);
    expect(report.verdict).toBe('pass');
    expect(table).toContain('Under: engine off: “engine off” at');
    expect(table).toContain('ground level: assumed');
  });
});

describe('a transcript of a check that was not properly done', () => {
  it.each<[string, string, string, readonly Said[]]>([
    [
      'needles over the limit within the hold, then the engine started and the needles back',
      'static-leakage',
      'fail',
      check({
        STATIC: [
          ...STATIC.slice(0, 4),
          ['primary one sixteen', 20],
          ['engine started', 10],
          ['both at one twenty', 30],
        ],
      }),
    ],
    ...(['pedal up', 'foot off the brake', 'service brake released'] as const).map(
      (words): [string, string, string, readonly Said[]] => [
        `“${words}” in the applied hold`,
        'applied-leakage',
        'not judged',
        check({ APPLIED: [...APPLIED.slice(0, 3), [words, 20], ['both at one ten', 40]] }),
      ],
    ),
    ...(['pedal down', 'foot on the pedal', 'foot off the brake', 'parking brake applied'] as const).map(
      (words): [string, string, string, readonly Said[]] => [
        `“${words}” in the static hold`,
        'static-leakage',
        'not judged',
        check({ STATIC: [...STATIC.slice(0, 4), [words, 20], ['both at one twenty', 40]] }),
      ],
    ),
    [
      'needles over the limit in place of a note',
      'static-leakage',
      'fail',
      check({
        STATIC: [...STATIC.slice(0, 4), ['make a note', 40], ['both at one ten', 9], ['both at one twenty', 9]],
      }),
    ],
    [
      'a build-up in 3 s, which no compressor does',
      'build-up',
      'not judged',
      check({ BUILD: [...BUILD.slice(0, 3), ['both at one hundred', 3]] }),
    ],
    [
      'the engine stalled in the build-up',
      'build-up',
      'not judged',
      check({ BUILD: [...BUILD.slice(0, 3), ['engine stalled', 10], ['both at one hundred', 20]] }),
    ],
    [
      'the engine started in the static hold',
      'static-leakage',
      'not judged',
      check({ STATIC: [...STATIC.slice(0, 4), ['engine started', 20], ['both at one twenty', 40]] }),
    ],
    [
      'the brake applied in the static hold',
      'static-leakage',
      'not judged',
      check({ STATIC: [...STATIC.slice(0, 4), ['brake applied', 20], ['both at one twenty', 40]] }),
    ],
    [
      'the brakes released in the applied hold',
      'applied-leakage',
      'not judged',
      check({ APPLIED: [...APPLIED.slice(0, 3), ['brakes released', 20], ['both at one ten', 40]] }),
    ],
    [
      'the engine off in the build window',
      'build-up',
      'not judged',
      check({ BUILD: [...BUILD.slice(0, 3), ['engine off', 10], ['both at one hundred', 20]] }),
    ],
    [
      'fast idle off in the build window',
      'build-up',
      'not judged',
      check({ BUILD: [...BUILD.slice(0, 3), ['fast idle off', 10], ['both at one hundred', 20]] }),
    ],
    [
      'a static hold begun at 20 psi',
      'static-leakage',
      'not judged',
      check({ STATIC: [...STATIC.slice(0, 3), ['both at twenty'], ['both at twenty', 61]] }),
    ],
    [
      'an applied hold begun at 18 psi',
      'applied-leakage',
      'not judged',
      check({ APPLIED: [...APPLIED.slice(0, 2), ['both at eighteen'], ['both at eighteen', 61]] }),
    ],
    [
      'circuits at 122 and 40 psi',
      'static-leakage',
      'not judged',
      check({
        STATIC: [
          ...STATIC.slice(0, 3),
          ['primary one twenty two, secondary forty'],
          ['primary one twenty two, secondary forty', 61],
        ],
      }),
    ],
    [
      'the buzzer, the engine started, and needles a minute later',
      'low-air-warning',
      'not judged',
      check({ WARNING: [['buzzer'], ['engine started'], ['both at sixty five', 60]] }),
    ],
    [
      'the pop of the valve, and needles a minute later',
      'spring-brake-activation',
      'not judged',
      check({ SPRING: [['valve popped'], ['both at thirty eight', 60]] }),
    ],
    [
      'the needles of the build-up after the buzzer',
      'low-air-warning',
      'not judged',
      check({ WARNING: [['buzzer']], SPRING: [] }),
    ],
    ['a rig that moved 3 s after it held', 'tug-test', 'fail', check({ TUG: [...TUG, ['rig moved', 3]] })],
    [
      'a rig that moved and then held',
      'tug-test',
      'fail',
      check({ TUG: [...TUG.slice(0, 3), ['rig moved'], ['rig held']] }),
    ],
    [
      'a pull to the left and then a straight stop',
      'service-brake-test',
      'fail',
      check({ STOP: [['pulled left'], ...STOP] }),
    ],
    [
      'a cut-in above the cut-out',
      'governor-cut-in',
      'not judged',
      check({
        CUT_OUT: [['governor cut out'], ['both at one ten']],
        CUT_IN: [['needles rising'], ['both at one twenty']],
      }),
    ],
    [
      'a cut-in 1 psi below the cut-out',
      'governor-cut-in',
      'not judged',
      check({
        CUT_OUT: [['governor cut out'], ['both at ninety']],
        CUT_IN: [['needles rising'], ['both at eighty nine']],
      }),
    ],
    [
      'a closing call after 50 s, and on with the next step',
      'static-leakage',
      'not judged',
      check({ STATIC: [...STATIC.slice(0, 4), ['both at one twenty', 50]] }),
    ],
    [
      'one circuit alone before the hold, and the readings with the brake applied',
      'static-leakage',
      'not judged',
      check({ STATIC: [...STATIC.slice(0, 3), ['primary one twenty']] }),
    ],
    [
      'a build-up faster than any compressor',
      'build-up',
      'not judged',
      check({ BUILD: [...BUILD.slice(0, 3), ['both at one hundred', 2]] }),
    ],
    [
      'needles called before the buzzer, and others after it',
      'low-air-warning',
      'fail',
      check({ WARNING: [['both at sixty'], ['buzzer', 6], ['both at forty five']] }),
    ],
    [
      'other needles right after those of the moment',
      'low-air-warning',
      // Perhaps they were on their way down already: then the buzzer was not at 60 either.
      'not judged',
      check({ WARNING: [['buzzer'], ['both at sixty'], ['both at fifty']] }),
    ],
    [
      'a hold whose first needles were called with the engine running',
      'static-leakage',
      'not judged',
      check({ STATIC: [['both at one twenty', 8], ...STATIC.slice(0, 3), ['both at one twenty', 52]] }),
    ],
    [
      'needles that replace the first of a hold under way',
      'static-leakage',
      'not judged',
      check({
        STATIC: [...STATIC.slice(0, 4), ['correction, both at one hundred', 50], ['both at one hundred', 8]],
      }),
    ],
    [
      'a cue after “correction” against the hold',
      'static-leakage',
      'not judged',
      check({ STATIC: [...STATIC.slice(0, 4), ['correction engine started', 20], ['both at one twenty', 40]] }),
    ],
    [
      'a rig that was held before it was in drive',
      'tug-test',
      'not judged',
      check({ TUG: [['rig held'], ['chocks stowed'], ['belts on'], ['in drive']] }),
    ],
    [
      'a rig that was held before its chocks were away',
      'tug-test',
      'not judged',
      check({ TUG: [['in drive'], ['rig held'], ['chocks stowed'], ['belts on']] }),
    ],
    [
      'the engine started in a pause',
      'static-leakage',
      'not judged',
      check({
        STATIC: [
          ...STATIC.slice(0, 3),
          ['pause the check'],
          ['engine started'],
          ['resume the check'],
          ...STATIC.slice(3),
        ],
      }),
    ],
    [
      'a note that was asked for long before the needles',
      'static-leakage',
      'fail',
      check({ STATIC: [...STATIC.slice(0, 4), ['take a note', 5], ['both at one ten', 56], ['both at one twenty']] }),
    ],
    [
      'a rig that moved, said as a note',
      'tug-test',
      'fail',
      check({ TUG: [...TUG.slice(0, 3), ['take a note'], ['rig moved'], ['rig held']] }),
    ],
    [
      'a refill that ends at 10 psi',
      'final-fill',
      'not judged',
      check({ FILL: [['governor cut out'], ['both at ten'], ['fast idle off']] }),
    ],
    [
      'the parking brake set for the service brake test',
      'service-brake-test',
      'not judged',
      check({ STOP: [['parking brake set'], ...STOP] }),
    ],
    [
      'a cue that was taken back',
      'static-leakage',
      'not judged',
      check({ STATIC: [['engine off'], ['scratch that'], ['brakes released', 31], ...STATIC.slice(2)] }),
    ],
    [
      'a second needle 20 s after the first',
      'low-air-warning',
      'not judged',
      check({ WARNING: [['buzzer'], ['primary seventy four', 9], ['secondary seventy four', 20]] }),
    ],
    [
      'needles that settled before the brake was applied',
      'applied-leakage',
      'not judged',
      check({ APPLIED: [['settled'], ['brake applied'], ...APPLIED.slice(2)] }),
    ],
    [
      'a start of the engine taken for the cut-in',
      'governor-cut-in',
      'not judged',
      check({ CUT_IN: [['engine off'], ['engine started', 30], ...CUT_IN] }),
    ],
    [
      'fast idle set after the window',
      'build-up',
      'not judged',
      check({ BUILD: [['engine started'], ['both at eighty five'], ['both at one hundred', 31], ['fast idle set']] }),
    ],
    [
      'a pull to the left after the check was called complete',
      'service-brake-test',
      'fail',
      check({ STOP: [...STOP, ['pulled left']] }),
    ],
    [
      'a closing needle that is called otherwise with the other circuit',
      'static-leakage',
      'not judged',
      check({ STATIC: [...STATIC.slice(0, 4), ['primary one ten', 61], ['both at one twenty']] }),
    ],
    [
      'a pull to the left, and back to a straight stop',
      'service-brake-test',
      'fail',
      check({ STOP: [['pulled left'], ['go back'], ...STOP] }),
    ],
    [
      'a leak that was gone back over',
      'build-up',
      'not judged',
      check({ BUILD: [...BUILD.slice(0, 3), ['both at one hundred', 80], ['go back'], ...BUILD] }),
    ],
    [
      '“brake applied” once more in the applied hold',
      'applied-leakage',
      'not judged',
      check({ APPLIED: [...APPLIED.slice(0, 3), ['brake applied', 30], ['both at one ten', 31]] }),
    ],
    [
      'first needles of a hold that fell by 38 psi in a few seconds',
      'static-leakage',
      'not judged',
      check({
        STATIC: [
          ...STATIC.slice(0, 3).map(([words]): Said => [words, 0.5]),
          ['both at eighty six', 0.5],
          ['both at eighty six', 61],
        ],
      }),
    ],
    ['a rig that moved before its test', 'tug-test', 'fail', check({ START: [['rig moved'], ...START] })],
    [
      'a rig that moved in the static hold',
      'tug-test',
      'fail',
      check({ STATIC: [...STATIC.slice(0, 4), ['rig moved', 20], ['both at one twenty', 40]] }),
    ],
    ['a pull to the left in the tug test', 'service-brake-test', 'fail', check({ TUG: [['pulled left'], ...TUG] })],
    [
      'no warning, said a step too soon',
      'low-air-warning',
      'not judged',
      check({ STATIC: [['no warning'], ...STATIC] }),
    ],
    [
      'a valve that stayed in, said a step too soon',
      'spring-brake-activation',
      'not judged',
      check({ WARNING: [['valve stayed in'], ...WARNING] }),
    ],
    [
      'the brakes released in the refill before the tug',
      'tug-test',
      'not judged',
      check({ FILL: [...FILL.slice(0, 2), ['brakes released'], ['fast idle off']] }),
    ],
    [
      'the engine started anew after “in drive”',
      'tug-test',
      'not judged',
      check({ TUG: [...TUG.slice(0, 3), ['engine off'], ['engine started'], ['rig held']] }),
    ],
    [
      'a refill that ends far from where the governor cut out',
      'refill',
      'not judged',
      check({ REFILL: [['governor cut out'], ['both at one hundred']] }),
    ],
    [
      'a rig that moved, “no”, and then held',
      'tug-test',
      'fail',
      check({ TUG: [...TUG.slice(0, 3), ['rig moved'], ['no'], ['rig held']] }),
    ],
    [
      'the engine started while a stop is asked about',
      'static-leakage',
      'not judged',
      check({
        STATIC: [...STATIC.slice(0, 4), ['stop the check', 5], ['engine started'], ['no'], ['both at one twenty', 50]],
      }),
    ],
    [
      'a rig that moved, said in a pause',
      'tug-test',
      'fail',
      check({ TUG: [...TUG.slice(0, 3), ['pause the check'], ['rig moved'], ['resume the check'], ['rig held']] }),
    ],
    [
      'a tug with the foot still on the brake of a stop',
      'tug-test',
      'not judged',
      check({ TUG: [...TUG.slice(0, 3), ['straight stop'], ['rig held']], STOP: [['check complete']] }),
    ],
    [
      'the buzzer in the applied hold',
      'applied-leakage',
      'not judged',
      check({ APPLIED: [...APPLIED.slice(0, 3), ['buzzer', 20], ['both at one ten', 40]] }),
    ],
    [
      'the parking brake off between “in drive” and the tug',
      'tug-test',
      'not judged',
      check({ TUG: [...TUG.slice(0, 3), ['parking brake off'], ['rig held']] }),
    ],
    [
      'a pull with the parking brake released, and set again in the same breath',
      'tug-test',
      'not judged',
      check({ TUG: [...TUG.slice(0, 3), ['brakes released rig held parking brake set']] }),
    ],
    [
      'a rig that the foot held in the tug test, all in one breath',
      'tug-test',
      'not judged',
      check({ TUG: [...TUG.slice(0, 3), ['foot on the brake rig held foot off the brake']] }),
    ],
    [
      'a pull with the engine off, and started again in the same breath',
      'tug-test',
      'not judged',
      check({ TUG: [...TUG.slice(0, 2), ['engine off rig held engine started in drive']] }),
    ],
  ])('%s: no pass', async (_, id, verdict, lines) => {
    const { status, report } = await hear(lines);
    expect(status).not.toBe(0);
    expect(verdictOf(report, id)).toBe(verdict);
    expect(['fail', 'incomplete']).toContain(report.verdict);
  });

  it('counts a profile without a limit as no excuse for a broken condition', async () => {
    const { status, report } = await hear(
      check({ WARNING: [['buzzer'], ['both at sixty five'], ['engine started']] }),
      '--profile',
      'nfpa-1911-2007',
    );
    expect(verdictOf(report, 'spring-brake-activation')).toBe('not judged');
    expect(status).not.toBe(0);
  });

  it.each<[string, string, readonly Said[], RegExp]>([
    [
      'needles',
      'static-leakage',
      check({
        STATIC: [...STATIC.slice(0, 4), ['both at one ten', 61]],
        APPLIED: [['brake applied'], ['correction both at one twenty'], ...APPLIED.slice(1)],
      }),
      /^Failed before the needles were corrected: .*dropped 10 psi/,
    ],
    [
      'a rig that moved',
      'tug-test',
      check({ TUG: [...TUG.slice(0, 3), ['rig moved'], ['correction rig held']] }),
      /“rig moved” was called before, and corrected to “brakes held”/,
    ],
  ])('shows a correction that turns a fail into a pass: %s', async (_, id, lines, flag) => {
    const { report } = await hear(lines);
    expect(verdictOf(report, id)).toBe('pass');
    expect(report.steps.find((step) => step.id === id)?.flags?.join(' ')).toMatch(flag);
  });

  it('2 psi called at 60.2 s are not less than 2', async () => {
    // "Less than 2 psi in one minute", CDL model manual, section 5.
    const strict = await hear(
      check({ STATIC: [...STATIC.slice(0, 4), ['primary one twenty, secondary one eighteen', 60.2]] }),
      '--profile',
      'us-cdl-single',
    );
    expect(verdictOf(strict.report, 'static-leakage')).toBe('fail');
  });

  // Honest checks that are said in another way than the script.
  it.each<[string, readonly Said[]]>([
    [
      'needles said twice',
      check({ REFILL: [...REFILL, ['both at one twenty four']], STATIC: [...STATIC, ['both at one twenty']] }),
    ],
    [
      'needles and the next cue in one breath',
      check({ STATIC: [...STATIC.slice(0, 4), ['both at one twenty, brake applied', 61]], APPLIED: APPLIED.slice(1) }),
    ],
    [
      'a true cue said again in a hold',
      check({ STATIC: [...STATIC.slice(0, 4), ['engine off', 30], ['both at one twenty', 31]] }),
    ],
    ['a moment said again', check({ WARNING: [['buzzer'], ['buzzer', 30], ['both at sixty five']] })],
    [
      'one psi of parallax in a hold',
      check({ STATIC: [...STATIC.slice(0, 4), ['both at one nineteen', 30], ['both at one twenty', 31]] }),
    ],
    ['needles called on the way down', check({ WARNING: [['both at ninety', 8], ['both at eighty', 7], ...WARNING] })],
  ])('%s: passes', async (_, lines) => {
    const { status, report } = await hear(lines);
    expect(report.steps.filter(({ verdict }) => verdict !== 'pass').map(({ id, reason }) => [id, reason])).toEqual([
      ['hand-valve-test', 'The rig does not have it.'],
    ]);
    expect(status).toBe(0);
  });

  it('a hold that was advised to be longer is judged when it is', async () => {
    const { status, report } = await hear(check({ STATIC: [...STATIC.slice(0, 4), ['both at one eighteen', 180]] }));
    expect(status).toBe(0);
    expect(report.steps.find(({ id }) => id === 'static-leakage')?.reason).toContain('so the rate counts');
    const maker = await hear(check({ STATIC: [...STATIC.slice(0, 4), ['both at one sixteen', 300]] }));
    expect(verdictOf(maker.report, 'static-leakage')).toBe('pass');
  });
});
