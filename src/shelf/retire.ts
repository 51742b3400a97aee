import { standingOf, type KnownKey } from '../record/known-keys.ts';
import type { Signer } from '../record/signer.ts';
import { bad, type Problem } from '../units/outcome.ts';
import type { Named } from './desk.ts';
import { dayOf, FOLDERS, isDay, isStation, readName, RETENTION, writeName } from './names.ts';
import { readHead } from './objects.ts';
import { misdated } from './head-chains.ts';
import { patient, type Sleep } from './patient.ts';
import type { Place } from './place.ts';
import { writeRetention } from './retention.ts';

export interface RetireParts {
  readonly place: Place;
  readonly station?: string;
  /** The first day that stays. */
  readonly before: string;
  /** Whose word it is; absent to see only what would be deleted. Has to be one of `known`. */
  readonly signer?: Signer;
  readonly known: readonly KnownKey[];
  /** ISO 8601. */
  readonly wall: string;
  readonly sleep: Sleep;
}

/** What was deleted, or would be. */
export interface Retired {
  readonly checks: number;
  readonly notes: number;
  readonly clips: number;
  /** Checks that stay, since no head that verifies would be left of them, or since they are not as old as they say. */
  readonly stay: readonly string[];
}

/**
 * Deletes the checks of days before one, with their remarks and sounds. Before anything, a signed word of it is put, by which readers
 * tell it from theft; heads stay, so that the chain of each device is whole for ever. A problem when it broke off; it can be done again.
 */
export async function retire(parts: RetireParts): Promise<Retired | Problem> {
  const { place, before, signer, known, wall, sleep } = parts;
  const reader = patient(place, sleep);
  if (before > dayOf(wall))
    return bad(`Of days up to ${before} some are still to come: only what is over can be old.`, '--older-than').problem;
  if (signer !== undefined) {
    if (standingOf(signer.publicKey, known).kind !== 'known')
      return bad('The key that signs is not among the known keys: no reader would heed it.', '--key').problem;
    const { name, bytes } = await writeRetention(before, wall, signer);
    const put = await place.put(name, bytes, 'once');
    if (put.kind === 'refused') return put.problem;
  }
  const top = await reader.list('');
  if (top.kind === 'refused') return top.problem;
  const stations =
    parts.station === undefined ? top.folders.filter((name) => isStation(name) && name !== RETENTION) : [parts.station];
  const counts = { check: 0, note: 0, clip: 0 };
  const stay: string[] = [];
  for (const station of stations) {
    const headed = await headsOf(reader, station, before, dayOf(wall));
    if (!('digests' in headed)) return headed;
    const old = await olderOf(reader, station, before);
    if (!('names' in old)) return old;
    for (const name of old.names) {
      if (!headed.digests.has(name.kind === 'check' ? name.digest : name.check)) {
        if (name.kind === 'check') stay.push(writeName(name));
        continue;
      }
      const removed = signer === undefined ? undefined : await place.remove(writeName(name));
      if (removed?.kind === 'refused') return removed.problem;
      counts[name.kind] += 1;
    }
  }
  return { checks: counts.check, notes: counts.note, clips: counts.clip, stay };
}

/** Every check, remark and sound of older days. */
async function olderOf(
  place: Pick<Place, 'get' | 'list'>,
  station: string,
  before: string,
): Promise<{ readonly names: readonly Named<'check' | 'note' | 'clip'>[] } | Problem> {
  const names: Named<'check' | 'note' | 'clip'>[] = [];
  for (const kind of ['check', 'note', 'clip'] as const) {
    const folder = `${station}/${FOLDERS[kind]}`;
    const days = await place.list(folder);
    if (days.kind === 'refused') return days.problem;
    for (const day of days.folders.filter((each) => isDay(each) && each < before)) {
      const listed = await place.list(`${folder}/${day}`);
      if (listed.kind === 'refused') return listed.problem;
      for (const file of listed.files) {
        const name = readName(`${folder}/${day}/${file}`);
        if (name !== undefined && name.kind !== 'head') names.push(name);
      }
    }
  }
  return { names };
}

/** Digests of the checks of older days that have a head that verifies, and whose day can be right. */
async function headsOf(
  place: Pick<Place, 'get' | 'list'>,
  station: string,
  before: string,
  today: string,
): Promise<{ readonly digests: ReadonlySet<string> } | Problem> {
  const digests = new Set<string>();
  const devices = await place.list(`${station}/${FOLDERS.head}`);
  if (devices.kind === 'refused') return devices.problem;
  for (const device of devices.folders) {
    const folder = `${station}/${FOLDERS.head}/${device}`;
    const listed = await place.list(folder);
    if (listed.kind === 'refused') return listed.problem;
    const names = listed.files.flatMap((file) => {
      const name = readName(`${folder}/${file}`);
      return name?.kind === 'head' ? [name] : [];
    });
    const isYounger = misdated(names, before, today);
    for (const name of names) {
      if (name.day >= before || isYounger(name)) continue;
      const got = await place.get(writeName(name));
      if (got.kind === 'refused') return got.problem;
      if (got.kind === 'got' && (await readHead(got.bytes, name, '')).ok) digests.add(name.digest);
    }
  }
  return { digests };
}
