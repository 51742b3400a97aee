import type { LogFile, PublicKey } from './log.ts';
import type { SealPlace } from './seal-chain.ts';
import type { Verification } from './verify.ts';

/** A seal among those of its key. */
export interface PlacedSeal extends SealPlace {
  readonly key: PublicKey;
  readonly last?: string;
  /** What names its check to people. */
  readonly where: string;
}

/** What a device's seals show of each other. */
export interface DeviceChain {
  readonly key: PublicKey;
  /** How many checks were given, and the highest number among them. */
  readonly checks: number;
  readonly highest: number;
  /** Numbers below the highest of which no check was given, as ranges. What is above it cannot be seen. */
  readonly missing: readonly (readonly [from: number, to: number])[];
  /** Two checks of one number, or one that follows another than it should: one plain sentence each. */
  readonly faults: readonly string[];
}

/** The seal of a log that was found to be whole, for `deviceChains`; undefined of version 1, and of keys that seal once. */
export function placedSeal({ header }: LogFile, { seal }: Verification, where: string): PlacedSeal | undefined {
  return seal === undefined || header.throwaway === true ? undefined : { ...seal, key: header.device, where };
}

/** Lays the seals of each key in order. A copy of a check counts once. */
export function deviceChains(seals: readonly PlacedSeal[]): readonly DeviceChain[] {
  const byKey = new Map<string, Map<string, PlacedSeal>>();
  for (const seal of seals) {
    const id = `${seal.key.x} ${seal.key.y}`;
    const same = byKey.get(id) ?? new Map<string, PlacedSeal>();
    if (!same.has(seal.digest)) byKey.set(id, same.set(seal.digest, seal));
  }
  return [...byKey.values()].map((same) => chainOf([...same.values()]));
}

function chainOf(unordered: readonly PlacedSeal[]): DeviceChain {
  const seals = unordered.toSorted((a, b) => a.number - b.number);
  const missing: [number, number][] = [];
  const faults: string[] = [];
  let before: PlacedSeal | undefined;
  for (const seal of seals) {
    const expected = (before?.number ?? 0) + 1;
    if (seal.number === before?.number)
      faults.push(`${before.where} and ${seal.where} both say that they are number ${seal.number} of one device.`);
    else if (seal.number > expected) missing.push([expected, seal.number - 1]);
    else if (before !== undefined && seal.last !== before.digest)
      faults.push(`${seal.where} (number ${seal.number} of its device) does not follow ${before.where}.`);
    before = seal;
  }
  return { key: seals[0]?.key ?? NO_KEY, checks: seals.length, highest: before?.number ?? 0, missing, faults };
}

const NO_KEY: PublicKey = { kty: 'EC', crv: 'P-256', x: '', y: '' };

/** "4, 6 to 9": the numbers that are missing. */
export function missingText(missing: DeviceChain['missing']): string {
  return missing.map(([from, to]) => (from === to ? String(from) : `${from} to ${to}`)).join(', ');
}
