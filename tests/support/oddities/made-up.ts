import type { SpokenCheck } from '../../../src/audit/oddities/spoken-check.ts';
import { between, pick, type Random } from '../silent-pass/random.ts';

/** A way of making up checks, out of the honest ones that were made before. */
type Invention = (honest: readonly SpokenCheck[], random: Random) => SpokenCheck[];

/** How often somebody who makes up a last digit takes each: few ends, many odd ones in the middle. From memory, of studies of made-up data. */
const MADE_UP_DIGITS = [4, 10, 11, 15, 11, 6, 11, 16, 10, 6];

/** Everything that is called, with other needles. */
function withNeedles(check: SpokenCheck, value: (old: number, nth: number) => number): SpokenCheck {
  return {
    ...check,
    needles: check.needles.map((needle, nth) =>
      needle.test === 'build-up' ? needle : { ...needle, value: value(needle.value, nth) },
    ),
  };
}

function madeUpDigit(random: Random): number {
  let left = random() * MADE_UP_DIGITS.reduce((sum, each) => sum + each, 0);
  return Math.max(
    0,
    MADE_UP_DIGITS.findIndex((weight) => (left -= weight) < 0),
  );
}

export const INVENTIONS: Readonly<Record<string, Invention>> = {
  /** Reads out one of three old sheets. */
  'copied from an old sheet': (honest, random) =>
    honest.map((check, at) => (at < 3 ? check : { ...check, needles: pick(random, honest.slice(0, 3)).needles })),
  /** Reads out last week's, with one needle of it moved by a mark. */
  'copied, with one needle changed': (honest, random) =>
    honest.map((check, at) => {
      if (at < 3) return check;
      const { needles } = pick(random, honest.slice(0, 3));
      const moved = Math.floor(random() * needles.length);
      return {
        ...check,
        needles: needles.map((needle, nth) =>
          nth === moved ? { ...needle, value: needle.value + (needle.resolution ?? 1) } : needle,
        ),
      };
    }),
  'round numbers': (honest, random) =>
    honest.map((check) => withNeedles(check, (old) => 5 * Math.round((old + between(random, -4, 4)) / 5))),
  'the same round numbers': (honest) =>
    honest.map((check) => withNeedles(check, (_, nth) => 5 * Math.round((honest[0]?.needles[nth]?.value ?? 0) / 5))),
  '"random" digits': (honest, random) =>
    honest.map((check) =>
      withNeedles(check, (old) => 10 * Math.floor((old + between(random, -4, 4)) / 10) + madeUpDigit(random)),
    ),
  'holds of 60.0 s': (honest) => honest.map((check) => ({ ...check, holds: check.holds.map(() => 60_000) })),
  'a copied file under a new date': (honest) =>
    honest.map((check, at) => (at === honest.length - 1 ? { ...check, gaps: honest[0]?.gaps ?? [] } : check)),
  'the same clip once': (honest) =>
    honest.map((check, at) => ({
      ...check,
      clips: check.needles.map((_, nth) => ({
        heard: 'x',
        digest: nth === 3 && at > honest.length - 3 ? 'copied' : `${at} ${nth}`,
      })),
    })),
};
