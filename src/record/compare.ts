import { chainNext, headerDigest } from './chain.ts';
import type { Entry, LogFile } from './log.ts';

type Chain = Pick<LogFile, 'header' | 'entries'>;

/** The first entry at which two logs of one check differ, by their contents; undefined when one is the beginning of the other. */
export async function differsAt(one: Chain, other: Chain): Promise<number | undefined> {
  if ((await headerDigest(one.header)) !== (await headerDigest(other.header))) return 0;
  const shorter = Math.min(one.entries.length, other.entries.length);
  for (let at = 0; at < shorter; at += 1) {
    const [a, b] = [one.entries[at], other.entries[at]];
    if (a?.digest !== b?.digest || (await contents(a)) !== (await contents(b))) return at;
  }
  return undefined;
}

/** The digest that an entry really has, which an edited one does not say. */
async function contents(entry: Entry | undefined): Promise<string | undefined> {
  return entry && (await chainNext(entry.previous, entry.index, entry.event)).digest;
}
