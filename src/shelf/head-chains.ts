import { deviceChains, type PlacedSeal } from '../record/device-chain.ts';
import { sameKey, thumbprint } from '../record/signer.ts';
import type { Named } from './desk.ts';
import type { Finding } from './finding.ts';

/** A seal that was verified, where it was found. */
export interface DatedSeal extends PlacedSeal {
  readonly station: string;
  readonly day: string;
}

/** What the numbers of each device show. `named`: every head that is listed or kept, looked at or not. */
export async function tellChains(
  seals: readonly DatedSeal[],
  named: readonly Named<'head'>[],
  tell: (finding: Finding) => void,
): Promise<void> {
  const numbers = new Map<string, Set<number>>();
  for (const { device, number } of named) numbers.set(device, (numbers.get(device) ?? new Set()).add(number));
  for (const { key, faults, missing, highest } of deviceChains(seals)) {
    const there = numbers.get(await thumbprint(key)) ?? new Set();
    for (const why of faults) tell({ kind: 'contradiction', device: key, why });
    // Heads stay for ever: what is older than what was asked for is there by its name.
    const gaps = missing.flatMap(([from, to]) => without(from, to, there));
    if (gaps.length > 0) tell({ kind: 'gap', device: key, missing: gaps });
    const newest = seals.find(({ number, key: of }) => number === highest && sameKey(of, key));
    if (newest !== undefined)
      tell({ kind: 'newest', station: newest.station, device: key, number: highest, day: newest.day });
  }
}

/**
 * The heads that a reader asks for: those of its days, and what follows them in the chain of their device, whatever its clock said: days are
 * the device's own word.
 */
export function considered(
  there: readonly Named<'head'>[],
  kept: readonly Named<'head'>[],
  since: string,
): readonly Named<'head'>[] {
  const from = new Map<string, number>();
  const lower = (device: string, number: number): void =>
    void from.set(device, Math.min(number, from.get(device) ?? Infinity));
  for (const { device, day, number } of there) if (day >= since) lower(device, number);
  const highest = new Map<string, number>();
  for (const { device, number } of kept) highest.set(device, Math.max(number, highest.get(device) ?? 0));
  for (const [device, number] of highest) lower(device, number + 1);
  const latest = new Map<string, string>();
  const lost = new Set<Named<'head'>>();
  for (const head of there.toSorted((a, b) => a.number - b.number)) {
    const before = latest.get(head.device) ?? '';
    // A lost clock: nobody knows the day of such a check, which may have come after its neighbours were collected.
    if (head.day < before) lost.add(head);
    else latest.set(head.device, head.day);
  }
  return there.filter(
    (head) => head.day >= since || head.number >= (from.get(head.device) ?? Infinity) || lost.has(head),
  );
}

/**
 * Tells heads whose day cannot be right: of days before one, though their device had made a check between then and `today` already. Its clock
 * was lost, and the check is not as old as it says.
 */
export function misdated(
  heads: readonly Named<'head'>[],
  before: string,
  today: string,
): (head: Named<'head'>) => boolean {
  const first = new Map<string, number>();
  for (const { device, day, number } of heads)
    if (day >= before && day <= today) first.set(device, Math.min(number, first.get(device) ?? Infinity));
  return ({ device, day, number }) => day < before && number > (first.get(device) ?? Infinity);
}

/** Of each device, the numbers below its highest that no head is named after. */
export function missingNumbers(
  heads: readonly Named<'head'>[],
): readonly { readonly device: string; readonly missing: readonly (readonly [number, number])[] }[] {
  const numbers = new Map<string, Set<number>>();
  for (const { device, number } of heads) numbers.set(device, (numbers.get(device) ?? new Set()).add(number));
  return [...numbers].flatMap(([device, there]) => {
    const highest = [...there].reduce((most, number) => Math.max(most, number), 0);
    const missing = without(1, highest, there);
    return missing.length === 0 ? [] : [{ device, missing }];
  });
}

/** The numbers from one to another that are not among these, as ranges. */
function without(from: number, to: number, numbers: ReadonlySet<number>): readonly (readonly [number, number])[] {
  const ranges: [number, number][] = [];
  let next = from;
  // By those that are there: a name may say any number, and nothing is to count up to it.
  for (const number of [...numbers].filter((each) => each >= from && each <= to).sort((a, b) => a - b)) {
    if (number > next) ranges.push([next, number - 1]);
    next = number + 1;
  }
  if (next <= to) ranges.push([next, to]);
  return ranges;
}
