import { clipName, LOG_NAME } from '../record/export-names.ts';
import { zipWriter } from '../record/zip-writer.ts';
import { bad, good, type Outcome, type Problem } from '../units/outcome.ts';
import { sha256 } from '../units/sha256.ts';
import type { Named } from './desk.ts';
import { missingNumbers } from './head-chains.ts';
import { indexName, readIndex, type IndexRow } from './month-index.ts';
import { FOLDERS, isStation, readName, RETENTION, writeName } from './names.ts';
import { readCheck, readHead, readNote, withNotes, type Note } from './objects.ts';
import type { Place } from './place.ts';

/** A check on the shelf as a list shows it. */
export interface ShelfRow {
  readonly head: Named<'head'>;
  /** The shelf has the check itself, by its list. */
  readonly isThere: boolean;
  /** What an index says of it, for which nobody vouches. */
  readonly says?: IndexRow;
}

/** What lies on a shelf of one month. */
export interface ShelfMonth {
  readonly rows: readonly ShelfRow[];
  /** Numbers of a device (its thumbprint) of which there is neither check nor head, though there are later ones. */
  readonly gaps: readonly { readonly device: string; readonly missing: readonly (readonly [number, number])[] }[];
}

/** Lists a month (YYYY-MM): of one station, or of all. Nothing is fetched but lists and indexes. */
export async function listMonth(
  place: Pick<Place, 'get' | 'list'>,
  month: string,
  station: string | undefined,
): Promise<ShelfMonth | Problem> {
  const top = station === undefined ? await place.list('') : undefined;
  if (top?.kind === 'refused') return top.problem;
  const rows: ShelfRow[] = [];
  const all: Named<'head'>[] = [];
  for (const each of station === undefined ? (top?.folders ?? []) : [station]) {
    if (!isStation(each) || each === RETENTION) continue;
    const heads = await headsOf(place, each);
    if ('what' in heads) return heads;
    all.push(...heads);
    const asked = heads.filter(({ day }) => day.startsWith(`${month}-`));
    const checks = new Set<string>();
    for (const day of new Set(asked.map((head) => head.day))) {
      const listed = await place.list(`${each}/${FOLDERS.check}/${day}`);
      if (listed.kind === 'refused') return listed.problem;
      for (const file of listed.files) checks.add(file.replace(/\.json$/, ''));
    }
    const index = await place.get(indexName(each, month));
    const said = new Map((index.kind === 'got' ? readIndex(index.bytes) : []).map((row) => [row.digest, row]));
    for (const head of asked) {
      const says = said.get(head.digest);
      rows.push({ head, isThere: checks.has(head.digest), ...(says === undefined ? {} : { says }) });
    }
  }
  rows.sort((a, b) => b.head.day.localeCompare(a.head.day) || b.head.number - a.head.number);
  return { rows, gaps: missingNumbers(all) };
}

async function headsOf(place: Pick<Place, 'list'>, station: string): Promise<readonly Named<'head'>[] | Problem> {
  const folder = `${station}/${FOLDERS.head}`;
  const devices = await place.list(folder);
  if (devices.kind === 'refused') return devices.problem;
  const heads: Named<'head'>[] = [];
  for (const device of devices.folders) {
    const listed = await place.list(`${folder}/${device}`);
    if (listed.kind === 'refused') return listed.problem;
    for (const file of listed.files) {
      const name = readName(`${folder}/${device}/${file}`);
      if (name?.kind === 'head') heads.push(name);
    }
  }
  return heads;
}

/**
 * A check of the shelf with its remarks and sounds, as a zip that is imported like any other: what is in it was verified, and is again. A
 * check that is not there is a problem that says whether its head was really signed.
 */
export async function fetchCheck(place: Pick<Place, 'get' | 'list'>, head: Named<'head'>): Promise<Outcome<Blob>> {
  const { station, day, digest } = head;
  const name = { kind: 'check', station, day, digest } as const;
  const where = writeName(name);
  const got = await place.get(where);
  if (got.kind === 'refused') return { ok: false, problem: got.problem };
  if (got.kind === 'none') return missing(place, head);
  const read = await readCheck(got.bytes, name, where);
  if (!read.ok) return read;
  const notes: Note[] = [];
  const listed = await place.list(`${station}/${FOLDERS.note}/${day}`);
  if (listed.kind === 'refused') return { ok: false, problem: listed.problem };
  for (const file of listed.files) {
    const note = readName(`${station}/${FOLDERS.note}/${day}/${file}`);
    if (note?.kind !== 'note' || note.check !== digest) continue;
    const bytes = await place.get(writeName(note));
    // Better no check than one without the remark that its officer has made.
    if (bytes.kind === 'refused' && bytes.why !== 'object') return { ok: false, problem: bytes.problem };
    const said = bytes.kind === 'got' ? await readNote(bytes.bytes, note, file) : undefined;
    if (said?.ok === true) notes.push(said.value);
  }
  const { log } = withNotes(read.value.log, notes);
  const zip = zipWriter();
  zip.add(LOG_NAME, new TextEncoder().encode(JSON.stringify(log)));
  const clips = await place.list(`${station}/${FOLDERS.clip}/${day}`);
  const sounds = new Set(clips.kind === 'listed' ? clips.files : []);
  for (const [at, { event }] of log.entries.entries()) {
    if (event.type !== 'callout' || event.clipDigest === undefined) continue;
    const clip = writeName({ kind: 'clip', station, day, check: digest, digest: event.clipDigest });
    if (!sounds.has(clip.slice(clip.lastIndexOf('/') + 1))) continue;
    const sound = await place.get(clip);
    if (sound.kind === 'got' && (await sha256(sound.bytes)) === event.clipDigest) zip.add(clipName(at), sound.bytes);
  }
  return good(zip.end());
}

async function missing(place: Pick<Place, 'get'>, head: Named<'head'>): Promise<Outcome<Blob>> {
  const where = writeName(head);
  const got = await place.get(where);
  const read = got.kind === 'got' ? await readHead(got.bytes, head, where) : undefined;
  const what = `The shelf does not have check number ${head.number} of ${head.day}`;
  if (read?.ok === true) return bad(`${what}, though its device has signed that there is one.`, where);
  return bad(`${what}, and its head does not verify either.`, where);
}
