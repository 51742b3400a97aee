import { pressureIn } from '../../units/pressure.ts';
import type { Ms } from '../../units/time.ts';
import { atLeast, atLeastOf } from './chance.ts';
import { LEAST_CHECKS, notAsked, type Answer, type Group } from './finding.ts';
import type { Needle, SpokenCheck } from './spoken-check.ts';

/**
 * How often two honest days of one rig are alike in every needle of a whole check, and in all but one, at most, by the mark of the dial
 * in psi: the steadiest rigs and eyes of the bench `oddities` stay below.
 */
const ALIKE: readonly ((markPsi: number) => number)[] = [
  (markPsi) => Math.min(0.1, 0.03 * markPsi),
  (markPsi) => Math.min(1, 0.05 + 0.05 * markPsi),
];
const NEEDLES_OF_A_CHECK = 18;
/** With fewer needles than these, many checks are alike. */
const LEAST_NEEDLES = 6;

/**
 * Whether checks repeat an earlier one in every needle, or in all but one. A healthy rig does repeat itself, the more so the coarser its
 * dial: what is expected depends on it.
 */
export function sameNeedles({ checks }: Group): Answer {
  if (checks.length < LEAST_CHECKS) return notAsked('same-needles', TOO_FEW);
  const read = checks.map(({ needles }) => needles.filter(({ test }) => test !== 'build-up'));
  const marks = read.flatMap((needles) => markOf(needles) ?? []);
  if (marks.length < read.length || read.some((needles) => needles.length < LEAST_NEEDLES))
    return notAsked('same-needles', 'too few needles, or the rig does not say what its dials show (Rigs)');
  const answers = ALIKE.map((alike, mostDiffering) => {
    const chances = read
      .slice(1)
      .map((needles, at) => Math.min(1, (at + 1) * alike(Math.max(...marks)) ** (needles.length / NEEDLES_OF_A_CHECK)));
    const repeats = read.filter((needles, at) =>
      read.slice(0, at).some((earlier) => differing(needles, earlier) <= mostDiffering),
    ).length;
    const expected = chances.reduce((sum, each) => sum + each, 0);
    return { repeats, expected, mostDiffering, chance: atLeastOf(repeats, chances) };
  });
  const [oddest] = answers.toSorted((a, b) => a.chance - b.chance);
  const { repeats = 0, expected = 0, mostDiffering = 0, chance = 1 } = oddest ?? {};
  return {
    kind: 'same-needles',
    what: `${repeats} of ${checks.length} checks repeat an earlier one in ${mostDiffering === 0 ? 'every needle' : 'all needles but one'}`,
    expected: `at most about ${expected < 1 ? expected.toFixed(1) : Math.round(expected)} on this dial`,
    chance: Math.min(1, ALIKE.length * chance),
  };
}

/** The coarsest dial of these needles, psi; undefined where nobody has said what one shows. */
function markOf(needles: readonly Needle[]): number | undefined {
  const marks = needles.map(({ unit, resolution }) =>
    resolution === undefined ? Infinity : pressureIn({ value: resolution, unit }, 'psi'),
  );
  const coarsest = Math.max(0, ...marks);
  return coarsest === Infinity ? undefined : coarsest;
}

function differing(one: readonly Needle[], other: readonly Needle[]): number {
  if (one.length !== other.length) return Infinity;
  return one.filter(({ step, value, unit }, nth) => {
    const beside = other[nth];
    return beside?.step !== step || beside.value !== value || beside.unit !== unit;
  }).length;
}

/** Pauses that a person makes are alike to within so much by chance only. */
const SAME_PAUSE: Ms = 5;
/** How often two pauses are, at most: of people whose pauses scatter by a fourteenth of a second already. */
const SAME_PAUSE_BY_CHANCE = 0.04;
const LEAST_GAPS = 10;

/** Whether the pauses between the callouts of one check are those of another: a file that was copied, a recording that was played again. */
export function samePauses({ checks }: Group): Answer {
  const timed = checks.filter(({ gaps }) => gaps.length >= LEAST_GAPS);
  if (timed.length < 2) return notAsked('same-pauses', TOO_FEW);
  let pairs = 0;
  let best = { chance: 1, alike: 0, of: 0, days: ['', ''] as readonly string[] };
  for (const [at, one] of timed.entries()) {
    for (const other of timed.slice(0, at)) {
      pairs += 1;
      const of = Math.min(one.gaps.length, other.gaps.length);
      let alike = 0;
      for (let nth = 0; nth < of; nth += 1)
        if (Math.abs((one.gaps[nth] ?? 0) - (other.gaps[nth] ?? 0)) <= SAME_PAUSE) alike += 1;
      const chance = atLeast(alike, of, SAME_PAUSE_BY_CHANCE);
      if (chance < best.chance) best = { chance, alike, of, days: [day(other), day(one)] };
    }
  }
  return {
    kind: 'same-pauses',
    what: `${best.alike} of ${best.of} pauses of two checks (${best.days.join(' and ')}) are alike to 5 ms`,
    expected: `at most ${Math.max(1, Math.round(SAME_PAUSE_BY_CHANCE * best.of))}`,
    chance: Math.min(1, pairs * best.chance),
  };
}

/** Who hears the end of a hold, and speaks, does so with a scatter of this at the very least (reaction times; from memory). */
const REACTION: Ms = 60;
const WITHIN: Ms = 25;
/** Chance to be within `WITHIN` of the middle of a normal with that scatter. */
const EVEN_BY_CHANCE = 0.33;
const LEAST_HOLDS = 8;

/** Whether holds are of one length, closer than a person can be. */
export function evenHolds({ checks }: Group): Answer {
  const holds = checks.flatMap((check) => check.holds);
  if (holds.length < LEAST_HOLDS) return notAsked('even-holds', 'too few holds that the tool itself timed');
  const middle = holds.toSorted((a, b) => a - b)[Math.floor(holds.length / 2)] ?? 0;
  const even = holds.filter((each) => Math.abs(each - middle) <= WITHIN).length;
  return {
    kind: 'even-holds',
    what: `${even} of ${holds.length} holds last ${(middle / 1000).toFixed(2)} s to within ${WITHIN} ms`,
    expected: `at most about ${Math.round(EVEN_BY_CHANCE * holds.length)}, of somebody who reacts as evenly as ${REACTION} ms`,
    // The middle is one of them.
    chance: atLeast(even - 1, holds.length - 1, EVEN_BY_CHANCE),
  };
}

const TOO_FEW = 'too few checks';

function day({ wall }: SpokenCheck): string {
  return wall.slice(0, 10);
}
