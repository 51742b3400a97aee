import type { Place } from '../../../src/shelf/place.ts';

/** What a bad store does to a shelf, and what `collect` has to say to it. */
export interface Breakage {
  readonly what: string;
  readonly does: (place: Place, names: BreakableNames) => Promise<void>;
  /** A line of what is printed, with the number of the check where it is named. */
  readonly says: (names: BreakableNames) => RegExp;
}

/** Names of one device's objects, in the order of their numbers, and a check of another day. */
interface BreakableNames {
  readonly checks: readonly string[];
  readonly heads: readonly string[];
}

async function bytesOf(place: Place, name: string): Promise<Uint8Array<ArrayBuffer>> {
  const got = await place.get(name);
  if (got.kind !== 'got') throw new Error(`${name} is not there`);
  return got.bytes;
}

const nth = (names: readonly string[], at: number): string => names[at] ?? '';
const plain = (name: string): string => name.replaceAll(/[.*+?^${}()|[\]\\/]/g, '\\$&');

export const BREAKAGES: readonly Breakage[] = [
  {
    what: 'drops a check',
    does: async (place, { checks }) => {
      await place.remove(nth(checks, 1));
    },
    says: () => /^MISSING: number 2 of .* its head is on the shelf, the check is not/,
  },
  {
    what: 'drops a check and its head',
    does: async (place, { checks, heads }) => {
      await place.remove(nth(checks, 2));
      await place.remove(nth(heads, 2));
    },
    says: () => /^MISSING: of .* there is neither check nor head of number 3,/,
  },
  {
    what: 'swaps two checks',
    does: async (place, { checks }) => {
      const [one, other] = [await bytesOf(place, nth(checks, 3)), await bytesOf(place, nth(checks, 4))];
      await place.put(nth(checks, 3), other, 'again');
      await place.put(nth(checks, 4), one, 'again');
    },
    says: ({ checks }) => new RegExp(`^WRONG: ${plain(nth(checks, 3))}: It is another check than its name says`),
  },
  {
    what: 'swaps two heads',
    does: async (place, { heads }) => {
      const [one, other] = [await bytesOf(place, nth(heads, 3)), await bytesOf(place, nth(heads, 4))];
      await place.put(nth(heads, 3), other, 'again');
      await place.put(nth(heads, 4), one, 'again');
    },
    says: ({ heads }) => new RegExp(`^WRONG: ${plain(nth(heads, 4))}: It is another head than its name says`),
  },
  {
    what: 'changes one letter of a check',
    does: async (place, { checks }) => {
      const text = new TextDecoder().decode(await bytesOf(place, nth(checks, 5)));
      const changed = new TextEncoder().encode(text.replace('A. Okafor', 'B. Okafor'));
      await place.put(nth(checks, 5), changed, 'again');
    },
    says: ({ checks }) => new RegExp(`^WRONG: ${plain(nth(checks, 5))}: Entry 0 was edited`),
  },
  {
    what: 'keeps half of a check',
    does: async (place, { checks }) => {
      const bytes = await bytesOf(place, nth(checks, 6));
      await place.put(nth(checks, 6), bytes.slice(0, bytes.length >> 1), 'again');
    },
    says: ({ checks }) => new RegExp(`^WRONG: ${plain(nth(checks, 6))}: The log is cut short`),
  },
  {
    what: 'puts something of its own beside them',
    does: async (place, { checks }) => {
      await place.put(nth(checks, 0).replace(/[^/]*$/, 'x.json'), new Uint8Array(3), 'again');
    },
    says: ({ checks }) => new RegExp(`^NOT OURS: ${plain(nth(checks, 0).replace(/[^/]*$/, 'x.json'))}`),
  },
];
