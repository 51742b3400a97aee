import type { Line } from './hearing-lines.ts';
import { outcomeOf, type Outcome, type Policy } from './hearing-outcome.ts';
import { KIND, type Kind, type SetName } from './hearing-sets.ts';
import { poisson, withInterval } from './interval.ts';

/** What a cell should reach, in percent of what was said. */
interface Wanted {
  readonly exact?: number;
  readonly asked?: number;
  readonly wrongTaken?: number;
}

const LEVELS = [null, 10, 5, 0] as const;
/** In quiet, at 10, 5 and 0 dB. */
const EXACT: Readonly<Partial<Record<SetName, readonly number[]>>> = {
  readings: [99, 97, 93, 85],
  digits: [90, 90, 88, 82],
};
const MOST_ASKED = [5, 15, 25, 40];
const MOST_WRONG_TAKEN = [0.5, 0.5, undefined, 2];
/** Callouts in ten minutes of other speech. */
const MOST_FALSE = 1;

const HEADS: Readonly<Record<Kind, readonly string[]>> = {
  readings: ['exact', 'asked', 'wrong but taken', 'the same in a hold', 'nothing'],
  words: ['exact', 'asked', 'wrong but taken', 'nothing'],
  cues: ['exact', 'too faint to count', 'wrong but taken', 'nothing'],
  other: ['false callouts in 10 min', 'minutes'],
};

/** The table of each set, by noise and level, with 95 % intervals; `voices` has each voice in rows of its own. */
export function tables(lines: readonly Line[], policy: Policy, voices: boolean): string {
  const sets = [...new Set(lines.map(({ set }) => set))];
  return sets
    .map((set) =>
      table(
        set,
        lines.filter((line) => line.set === set),
        policy,
        voices,
      ),
    )
    .join('\n\n');
}

function table(set: SetName, lines: readonly Line[], policy: Policy, voices: boolean): string {
  const head = ['set', ...(voices ? ['voice'] : []), 'noise', 'said', ...HEADS[KIND[set]]];
  const rows = grouped(lines, ({ noise, db, voice }) => JSON.stringify([noise, db, voices ? voice : '']))
    .toSorted((one, other) => order(one) - order(other))
    .flatMap((cell) => {
      const [{ noise, db, voice } = { noise: 'quiet', db: null, voice: '' }] = cell;
      const name = [set, ...(voices ? [voice] : []), db === null ? 'quiet' : `${noise}, ${db} dB`];
      const wanted = wantedRow(set, db);
      const rows = [`| ${[...name, cell.length, ...cells(set, cell, policy)].join(' | ')} |`];
      if (wanted.length > 0) rows.push(`| ${[...name.map(() => ''), 'wanted', ...wanted].join(' | ')} |`);
      return rows;
    });
  return [`| ${head.join(' | ')} |`, `|${head.map(() => '---').join('|')}|`, ...rows].join('\n');
}

function order([line]: readonly Line[]): number {
  return line === undefined ? 0 : line.db === null ? -1 : 100 - line.db;
}

function cells(set: SetName, lines: readonly Line[], policy: Policy): readonly string[] {
  const outcomes = lines.map((line) => outcomeOf(line, policy));
  const share = (of: (outcome: Outcome) => boolean): string => withInterval(outcomes.filter(of).length, lines.length);
  const minutes = lines.reduce((sum, { length }) => sum + length, 0) / 60_000;
  switch (KIND[set]) {
    case 'other': {
      const callouts = outcomes.reduce((sum, each) => sum + each.callouts, 0);
      const { low, high } = poisson(callouts);
      const inTen = (count: number): string => ((10 * count) / minutes).toFixed(1);
      return [`${inTen(callouts)} (${inTen(low)}–${inTen(high)})`, minutes.toFixed(1)];
    }
    case 'readings':
      return [
        share(({ exact }) => exact),
        share(({ asked }) => asked),
        share(({ wrongTaken }) => wrongTaken),
        share(({ wrongInHold }) => wrongInHold),
        share(isNothing),
      ];
    case 'cues':
    case 'words':
      return [
        share(({ exact }) => exact),
        share(({ asked }) => asked),
        share(({ wrongTaken }) => wrongTaken),
        share(isNothing),
      ];
  }
}

function isNothing({ exact, wrong, asked, wrongTaken }: Outcome): boolean {
  return !exact && !wrong && !asked && !wrongTaken;
}

function wantedRow(set: SetName, db: number | null): readonly string[] {
  const at = LEVELS.findIndex((level) => level === db);
  const kind = KIND[set];
  if (kind === 'other') return [`<= ${MOST_FALSE}`, ''];
  if (at < 0) return [];
  const { exact, asked, wrongTaken }: Wanted = {
    ...(EXACT[set]?.[at] === undefined ? {} : { exact: EXACT[set][at] }),
    ...(MOST_ASKED[at] === undefined ? {} : { asked: MOST_ASKED[at] }),
    ...(MOST_WRONG_TAKEN[at] === undefined ? {} : { wrongTaken: MOST_WRONG_TAKEN[at] }),
  };
  const most = (percent: number | undefined): string => (percent === undefined ? '' : `<= ${percent}`);
  return [
    exact === undefined ? '' : `>= ${exact}`,
    most(asked),
    most(wrongTaken),
    ...(kind === 'readings' ? [''] : []),
    '',
  ];
}

/** How soon what was said and heard was told, on the sample clock: the engine's own time comes on top. */
export function toldAfter(lines: readonly Line[]): string {
  const times = lines
    .filter(({ said, heard }) => said !== null && heard.length === 1 && heard[0]?.text !== '')
    .flatMap(({ length, heard: [heard] }) => (heard === undefined ? [] : [heard.told - length]))
    .toSorted((a, b) => a - b);
  const at = (share: number): string => (times[Math.floor(share * (times.length - 1))] ?? NaN).toFixed(0);
  return `end of last word to told: median ${at(0.5)} ms, p95 ${at(0.95)} ms, of ${times.length}`;
}

function grouped<T>(all: readonly T[], key: (each: T) => string): readonly (readonly T[])[] {
  const groups = new Map<string, T[]>();
  for (const each of all) groups.set(key(each), [...(groups.get(key(each)) ?? []), each]);
  return [...groups.values()];
}
