import usCdlSingle from '../../../src/judging/profiles/us-cdl-single.json' with { type: 'json' };
import type { LimitProfile } from '../../../src/judging/profile.ts';
import type { Verdict } from '../../../src/judging/result.ts';
import { inItsOwnTime } from './bench-rigs.ts';
import type { Line } from './operator.ts';
import type { TubeOptions } from './tube.ts';

/** Words against what is measured, and what each step that they were said in must come to. */
export interface Contradiction {
  readonly name: string;
  readonly options: TubeOptions;
  readonly verdicts: Readonly<Record<string, Verdict>>;
}

const STRICT = usCdlSingle as unknown as LimitProfile;
const OPENING: readonly Line[] = [{ say: 'engine off' }, { say: 'brakes released' }, { say: 'settled' }];
const YES: Line = { say: "yes that's right", after: 2_500 };
/** Ends what is under way without a verdict of its own. */
const STOP: readonly Line[] = [{ say: 'stop the check' }, { say: 'yes', after: 2_500 }];
const STARTED: readonly Line[] = [{ say: 'both seventy five' }, { say: 'engine started' }];
const GOVERNOR = ['pre-start-fill', 'governor-cut-out', 'governor-cut-in', 'refill'];

/** What cannot be said in a hold of 5 s, or needs a minute of its own. */
export const CONTRADICTIONS: readonly Contradiction[] = [
  {
    name: 'a leak test that begins at 20 psi',
    options: inItsOwnTime(
      [...OPENING, { say: 'both twenty' }, { say: 'both twenty', after: 62_000 }, ...STOP],
      ['static-leakage', 'low-air-warning'],
    ),
    verdicts: { 'static-leakage': 'not judged' },
  },
  {
    name: 'an applied hold that begins at 18 psi',
    options: inItsOwnTime(
      [
        ...OPENING,
        { say: 'both one twenty' },
        { say: 'both one twenty', after: 62_000 },
        { say: 'brake applied' },
        { say: 'settled' },
        { say: 'both eighteen' },
        { say: 'both eighteen', after: 62_000 },
        // The operator goes on all the same.
        { say: 'buzzer' },
        { say: 'both sixty five' },
        YES,
        ...STOP,
      ],
      ['static-leakage', 'applied-leakage', 'low-air-warning', 'spring-brake-activation'],
    ),
    verdicts: { 'static-leakage': 'pass', 'applied-leakage': 'not judged' },
  },
  {
    name: 'circuits of 122 and 40 psi',
    options: inItsOwnTime(
      [
        ...OPENING,
        { say: 'primary one twenty two, secondary forty' },
        { say: 'primary one twenty two, secondary forty', after: 62_000 },
        ...STOP,
      ],
      ['static-leakage', 'low-air-warning'],
    ),
    verdicts: { 'static-leakage': 'not judged' },
  },
  {
    name: 'a cut-in above the cut-out',
    options: inItsOwnTime(
      [
        ...STARTED,
        { say: 'governor cut out' },
        { say: 'both one twenty' },
        { say: 'needles rising', after: 5_000 },
        { say: 'both one twenty five' },
        YES,
        ...STOP,
      ],
      GOVERNOR,
    ),
    verdicts: { 'governor-cut-in': 'not judged' },
  },
  {
    name: 'a cut-out at 90 and a cut-in at 89 psi',
    options: inItsOwnTime(
      [
        ...STARTED,
        { say: 'governor cut out' },
        { say: 'both ninety' },
        YES,
        { say: 'needles rising', after: 5_000 },
        { say: 'both eighty nine' },
        // Asked about; confirmed, it would be marginal.
        { say: 'scratch that', after: 2_500 },
        ...STOP,
      ],
      GOVERNOR,
    ),
    verdicts: { 'governor-cut-in': 'not judged' },
  },
  {
    name: 'needles a minute after the valve popped',
    options: inItsOwnTime(
      [
        ...OPENING,
        { say: 'both one twenty' },
        { say: 'both one twenty', after: 61_000 },
        { say: 'valve popped' },
        { say: 'both forty', after: 60_000 },
        ...STOP,
      ],
      ['static-leakage', 'spring-brake-activation', 'build-up'],
    ),
    verdicts: { 'spring-brake-activation': 'not judged' },
  },
  {
    name: 'a rig that held, and moved 3 s later',
    options: inItsOwnTime(
      [
        { say: 'chocks stowed' },
        { say: 'belts on' },
        { say: 'in drive' },
        { say: 'rig held' },
        { say: 'rig moved', after: 3_000 },
        YES,
        ...STOP,
      ],
      ['tug-test', 'service-brake-test'],
    ),
    verdicts: { 'tug-test': 'fail' },
  },
  {
    name: 'pulled left, then a straight stop',
    options: inItsOwnTime(
      [{ say: 'pulled left' }, { say: 'straight stop', after: 3_000 }, { say: 'check complete' }],
      ['service-brake-test'],
    ),
    verdicts: { 'service-brake-test': 'fail' },
  },
  {
    name: 'exactly the limit that must not be reached, called 1 s late',
    options: {
      ...inItsOwnTime(
        [...OPENING, { say: 'both one twenty' }, { say: 'both one eighteen', after: 61_000 }, YES, ...STOP],
        ['static-leakage', 'low-air-warning'],
      ),
      profile: STRICT,
    },
    verdicts: { 'static-leakage': 'fail' },
  },
  {
    name: 'a hold of three minutes',
    options: inItsOwnTime(
      [...OPENING, { say: 'both one twenty' }, { say: 'both one nineteen', after: 181_000 }, ...STOP],
      ['static-leakage', 'low-air-warning'],
    ),
    verdicts: { 'static-leakage': 'pass' },
  },
];
