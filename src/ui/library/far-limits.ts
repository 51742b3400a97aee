import type { Limit, LimitProfile } from '../../judging/profile.ts';
import type { TestId } from '../../judging/measurement.ts';
import { KPA_PER_PSI } from '../../units/pressure.ts';
import { LIMIT_WORDS, TEST_WORDS } from './limit-words.ts';

/** A limit is far outside when it is so many times above the highest, or below the lowest, that a document gives; ours, no source. */
const FAR = 2;

interface Known {
  /** In psi, or seconds. */
  readonly value: number;
  readonly text: string;
  readonly document: string;
}

/** One sentence for each limit that is far outside of what every known document says, naming the nearest; `known`: profiles with their sources. */
export function farLimits(profile: LimitProfile, known: readonly LimitProfile[]): readonly string[] {
  return profile.tests.flatMap(({ test, limits }) =>
    limits.flatMap((limit) =>
      (['min', 'max'] as const).flatMap((bound) => {
        const value = limit[bound];
        const others = known.flatMap((each) => boundsOf(each, test, limit.figure)).sort((a, b) => a.value - b.value);
        const [lowest, highest] = [others[0], others.at(-1)];
        if (value === undefined || lowest === undefined || highest === undefined) return [];
        const inBase = value / perBase(limit);
        const nearest = inBase > highest.value * FAR ? highest : inBase * FAR < lowest.value ? lowest : undefined;
        if (nearest === undefined) return [];
        return [
          `${TEST_WORDS[test]}, ${LIMIT_WORDS[limit.figure].toLowerCase()}: ${String(value)} ${limit.unit} is far ${nearest === highest ? 'above' : 'below'} what any document known here says; the nearest is ${nearest.text} (${nearest.document}).`,
        ];
      }),
    ),
  );
}

function boundsOf(profile: LimitProfile, test: TestId, figure: Limit['figure']): readonly Known[] {
  const limits = profile.tests.find((entry) => entry.test === test)?.limits ?? [];
  return limits
    .filter((limit) => limit.figure === figure)
    .flatMap((limit) =>
      [limit.min, limit.max]
        .filter((value) => value !== undefined)
        .map((value) => ({
          value: value / perBase(limit),
          text: `${String(value)} ${limit.unit}`,
          document: limit.source.document,
        })),
    );
}

function perBase({ unit }: Limit): number {
  return unit.startsWith('kPa') ? KPA_PER_PSI : 1;
}
