import type { TestId } from '../../judging/measurement.ts';
import { atLeast, tail, type Weighted } from './chance.ts';
import { LEAST_CHECKS, notAsked, type Answer, type Group } from './finding.ts';
import type { Needle, SpokenCheck } from './spoken-check.ts';

/** The needles of one step in one check. */
interface Called {
  readonly needles: readonly Needle[];
  readonly resolution: number;
}

/** Steps whose needles are named by the plan, not read. */
const NAMED: ReadonlySet<TestId> = new Set(['none', 'build-up']);
/** Steps whose needles stand where a maker has set them: on a round number more often than elsewhere. */
const SET_BY_A_MAKER: ReadonlySet<TestId> = new Set(['governor-cut-out', 'plain-reading']);
/** Fewer counts than this decide nothing. */
const LEAST_COUNTS = 8;

/**
 * Whether readings that differ from a step's usual ones differ by whole fives (whole fifties, on dials of coarse kPa). Of what lies
 * around a usual value, at most every fifth mark is a whole five away, wherever the needle stands and however steady it is: so says
 * nothing of a rig that always reads 125. The needles of a step move together and count once; so does each set of them.
 */
export function wholeSteps({ checks }: Group): Answer {
  const steps = stepsOf(checks);
  if (steps === undefined) return notAsked('whole-steps', UNKNOWN_DIAL);
  let [differing, whole] = [0, 0];
  let share = 0;
  let by = 5;
  for (const calls of steps.values()) {
    const usual = mostFrequent(calls);
    const seen = new Set<string>();
    for (const { needles, resolution } of calls) {
      const key = keyOf(needles);
      if (key === keyOf(usual.needles) || seen.has(key) || needles.length !== usual.needles.length) continue;
      seen.add(key);
      by = roundStep(resolution);
      share = Math.max(share, shareOfRound(resolution));
      differing += 1;
      if (needles.every(({ value }, at) => isMultiple(value - (usual.needles[at]?.value ?? 0), by))) whole += 1;
    }
  }
  if (differing < LEAST_COUNTS) return notAsked('whole-steps', 'its readings hardly ever differ');
  if (share >= 1) return notAsked('whole-steps', COARSE_DIAL);
  return {
    kind: 'whole-steps',
    what: `of ${differing} times that the needles of a step were called other than usual, ${whole} differ by whole ${by}s`,
    expected: `at most ${Math.round(100 * share)} in 100 on this dial`,
    chance: atLeast(whole, differing, share),
  };
}

/**
 * Whether last digits are favoured: 0 and 5, or 3 and 7, or 0 and 5 shunned. Where a needle stands on a rig is nobody's choice, so the
 * readings of each step might as well all lie any number of marks higher: over all of these, how often would the digits fall so?
 */
export function digits({ checks }: Group): Answer {
  const steps = stepsOf(
    checks.map((check) => ({ ...check, needles: check.needles.filter(({ test }) => !SET_BY_A_MAKER.has(test)) })),
  );
  if (steps === undefined) return notAsked('digits', UNKNOWN_DIAL);
  const clusters = [...steps.values()].map((calls) =>
    calls.flatMap(({ needles }) => needles.map(({ value }) => value)),
  );
  const dials = [...steps.values()].flatMap((calls) => calls.map(({ resolution }) => resolution));
  // A dial that is read to whole tens, or to halves, has other digits.
  if (dials.some((resolution) => resolution < 1 || resolution > 2)) return notAsked('digits', COARSE_DIAL);
  const marks = Math.max(1, ...dials);
  const all = clusters.flat().length;
  if (all < 10 * LEAST_COUNTS) return notAsked('digits', 'too few readings');
  const answers = FAVOURITES.map(({ set, more, words }) => {
    const counts = clusters.map((values) => shifted(values, set, marks));
    const here = counts.reduce((sum, [first = 0]) => sum + first, 0);
    const usual = counts.reduce((sum, each) => sum + mean(each), 0);
    const sign = more ? 1 : -1;
    const chance = tail(
      sign * here,
      counts.map((each) => each.map((count): Weighted => [sign * count, 1 / each.length])),
    );
    return { here, usual, words, chance };
  });
  const [oddest] = answers.toSorted((a, b) => a.chance - b.chance);
  if (oddest === undefined) return notAsked('digits', 'too few readings');
  return {
    kind: 'digits',
    what: `of ${all} readings ${oddest.here} end in ${oddest.words}`,
    expected: `about ${Math.round(oddest.usual)}, were the needles any number of marks higher`,
    // Three sets were looked at.
    chance: Math.min(1, FAVOURITES.length * oddest.chance),
  };
}

const FAVOURITES = [
  { set: [0, 5], more: true, words: '0 or 5' },
  { set: [0, 5], more: false, words: '0 or 5' },
  { set: [3, 7], more: true, words: '3 or 7' },
] as const;

/** How many of these values end so, when all of them are moved up by 0, 1, 2 … marks. */
function shifted(values: readonly number[], digitsOf: readonly number[], mark: number): number[] {
  return Array.from(
    { length: 10 / mark },
    (_, marks) =>
      values.filter((value) => digitsOf.includes((((Math.round(value) + marks * mark) % 10) + 10) % 10)).length,
  );
}

const UNKNOWN_DIAL = 'the rig does not say what its dials show (Rigs)';
const COARSE_DIAL = 'its dial has too few marks';

/** Each step's needles by check; undefined where it is not known what a dial shows. */
function stepsOf(checks: readonly Pick<SpokenCheck, 'needles'>[]): Map<string, Called[]> | undefined {
  const steps = new Map<string, Called[]>();
  for (const { needles } of checks) {
    const read = needles.filter(({ test }) => !NAMED.has(test));
    for (const step of new Set(read.map((each) => each.step))) {
      const called = read.filter((each) => each.step === step);
      const resolution = Math.max(...called.map((each) => each.resolution ?? Infinity));
      if (resolution === Infinity) return undefined;
      steps.set(step, [...(steps.get(step) ?? []), { needles: called, resolution }]);
    }
  }
  return steps.size === 0 || checks.length < LEAST_CHECKS ? undefined : steps;
}

function mostFrequent(calls: readonly Called[]): Called {
  const counts = new Map<string, { count: number; call: Called }>();
  for (const call of calls) {
    const key = keyOf(call.needles);
    counts.set(key, { count: (counts.get(key)?.count ?? 0) + 1, call });
  }
  const [most] = [...counts.values()].toSorted((a, b) => b.count - a.count);
  return most?.call ?? { needles: [], resolution: 1 };
}

function keyOf(needles: readonly Needle[]): string {
  return needles.map(({ nth, circuit, value, unit }) => `${nth} ${circuit} ${value} ${unit}`).join();
}

/** What counts as round on a dial: fives of psi; on coarser dials the next of 10, 50, 100 that is not each mark. */
function roundStep(resolution: number): number {
  return [5, 10, 50, 100, 500].find((step) => step >= 2 * resolution) ?? 1000;
}

/** The share of a dial's marks that are round. */
function shareOfRound(resolution: number): number {
  const by = roundStep(resolution);
  const marks = Array.from({ length: 100 }, (_, nth) => nth * resolution);
  return marks.filter((mark) => isMultiple(mark, by)).length / marks.length;
}

function isMultiple(value: number, of: number): boolean {
  return Math.abs(value / of - Math.round(value / of)) < 1e-6;
}

function mean(values: readonly number[]): number {
  return values.reduce((sum, each) => sum + each, 0) / Math.max(1, values.length);
}
