import type { LogFile } from '../record/log.ts';
import type { Problem } from '../units/outcome.ts';
import { sha256 } from '../units/sha256.ts';
import type { Desk, FoundNote, Named } from './desk.ts';
import type { Finding } from './finding.ts';
import { considered, misdated, type DatedSeal } from './head-chains.ts';
import { dayOf, FOLDERS, readName, writeName } from './names.ts';
import { readCheck, readHead, readNote, sealOf, type ShelvedHead } from './objects.ts';
import { eachOf } from './patient.ts';
import type { Place } from './place.ts';
import type { Retention } from './retention.ts';

/** What a reader of a station is told and given: see `CollectParts`. */
interface ReaderParts {
  readonly desk: Desk;
  readonly since: string;
  readonly clips: boolean;
  readonly again: boolean;
  readonly tell: (finding: Finding) => void;
}

/** Requests that are under way at a time. */
const AT_ONCE = 8;

/** Reads what one station has put. */
export class StationReader {
  /** What was found of the chains of devices, which may have moved from station to station: see `tellChains`. */
  readonly seals: DatedSeal[] = [];
  named: readonly Named<'head'>[] = [];
  readonly #parts: ReaderParts;
  readonly #place: Pick<Place, 'get' | 'list'>;
  readonly #station: string;
  readonly #statements: readonly Retention[];
  /** Checks that are listed, and that the store does not give. */
  readonly #hollow = new Set<string>();

  constructor(
    parts: ReaderParts,
    place: Pick<Place, 'get' | 'list'>,
    station: string,
    statements: readonly Retention[],
  ) {
    this.#parts = parts;
    this.#place = place;
    this.#station = station;
    this.#statements = statements;
  }

  /** Resolves with what made it break off, if anything did. */
  async read(): Promise<Problem | undefined> {
    const { desk, since } = this.#parts;
    const station = this.#station;
    const heads = await this.#inFolders('head', () => true);
    if ('problem' in heads) return heads.problem;
    const kept = (await desk.heads(station)).flatMap((name) => headName(name) ?? []);
    const asked = considered(heads.names, kept, since);
    const days = new Set(asked.map(({ day }) => day));
    const checks = await this.#inFolders('check', (day) => day >= since || days.has(day));
    if ('problem' in checks) return checks.problem;
    const trouble = (await this.#checks(checks.names)) ?? (await this.#heads(asked, heads.names, kept, checks.names));
    if (trouble !== undefined) return trouble;
    const notes = await this.#inFolders('note', (day) => day >= since || days.has(day));
    if ('problem' in notes) return notes.problem;
    return this.#notes(notes.names);
  }

  /** Every object of a kind, folder by folder. */
  async #inFolders<K extends 'check' | 'head' | 'note'>(
    kind: K,
    wanted: (group: string) => boolean,
  ): Promise<{ readonly names: readonly Named<K>[] } | { readonly problem: Problem }> {
    const folder = `${this.#station}/${FOLDERS[kind]}`;
    const groups = await this.#place.list(folder);
    if (groups.kind === 'refused') return groups;
    for (const file of groups.files) this.#parts.tell({ kind: 'stray', name: `${folder}/${file}` });
    const names: Named<K>[] = [];
    const refused = await eachOf(groups.folders.filter(wanted), AT_ONCE, async (group) => {
      const listed = await this.#place.list(`${folder}/${group}`);
      if (listed.kind === 'refused') return listed;
      for (const each of [...listed.files, ...listed.folders]) {
        const name = readName(`${folder}/${group}/${each}`);
        if (name?.kind === kind) names.push(name as Named<K>);
        else this.#parts.tell({ kind: 'stray', name: `${folder}/${group}/${each}` });
      }
      return undefined;
    });
    return refused ?? { names };
  }

  async #checks(names: readonly Named<'check'>[]): Promise<Problem | undefined> {
    const { desk, again, clips, tell } = this.#parts;
    return eachOf(names, AT_ONCE, async (name) => {
      const here = await desk.check(name);
      const log = here !== undefined && !again ? here : await this.#fetchCheck(name, here === undefined);
      if (log !== undefined && 'what' in log) return log;
      if (log === undefined || !clips) return undefined;
      for (const [place, { event }] of log.entries.entries()) {
        if (event.type !== 'callout' || event.clipDigest === undefined || (await desk.hasClip(name, place))) continue;
        const clip = writeName({ ...name, kind: 'clip', check: name.digest, digest: event.clipDigest });
        const got = await this.#place.get(clip);
        if (got.kind === 'refused' && got.why !== 'object') return got.problem;
        // A sound that is not there was never put, or deleted: no fault, as everywhere.
        if (got.kind === 'none') continue;
        if (got.kind === 'refused' || (await sha256(got.bytes)) !== event.clipDigest)
          tell({ kind: 'wrong', name: clip, why: 'It is not the sound that was heard.' });
        else {
          await desk.keepClip(name, place, got.bytes);
          tell({ kind: 'kept', what: 'clip', name: clip });
        }
      }
      return undefined;
    });
  }

  async #fetchCheck(name: Named<'check'>, fresh: boolean): Promise<LogFile | Problem | undefined> {
    const { desk, tell } = this.#parts;
    const text = writeName(name);
    const got = await this.#place.get(text);
    if (got.kind === 'refused' && got.why !== 'object') return got.problem;
    if (got.kind === 'none') {
      this.#hollow.add(name.digest);
      this.#notGiven(text);
      return undefined;
    }
    const read = got.kind === 'refused' ? got : await readCheck(got.bytes, name, text);
    if ('problem' in read) {
      tell({ kind: 'wrong', name: text, why: read.problem.what });
      return undefined;
    }
    if (fresh) {
      await desk.keepCheck(name, read.value);
      tell({ kind: 'kept', what: 'check', name: text });
    }
    return read.value.log;
  }

  async #heads(
    asked: readonly Named<'head'>[],
    there: readonly Named<'head'>[],
    kept: readonly Named<'head'>[],
    checks: readonly Named<'check'>[],
  ): Promise<Problem | undefined> {
    const { desk, again, tell } = this.#parts;
    const known = new Set(kept.map(writeName));
    const listed = new Set(there.map(writeName));
    const shelved = new Set(checks.map(({ digest }) => digest).filter((digest) => !this.#hollow.has(digest)));
    const take = ({ device, seal }: ShelvedHead): void => {
      const { number = 0, last } = seal.event;
      const day = dayOf(seal.event.wall);
      const placed = { key: device, number, digest: seal.digest, where: `number ${number} of ${day}`, day };
      const at = { station: this.#station };
      this.seals.push({ ...placed, ...at, ...(last === undefined ? {} : { last }) });
    };
    const words = this.#statements.map((by) => ({
      by,
      isYounger: misdated([...there, ...kept], by.before, dayOf(by.wall)),
    }));
    const trouble = await eachOf(asked, AT_ONCE, async (name) => {
      const text = writeName(name);
      let head = known.has(text) ? await desk.head(name) : undefined;
      if (head === undefined || again) {
        const got = await this.#place.get(text);
        if (got.kind === 'refused' && got.why !== 'object') return got.problem;
        if (got.kind === 'none') this.#notGiven(text);
        else {
          const read = got.kind === 'refused' ? got : await readHead(got.bytes, name, text);
          if ('problem' in read) tell({ kind: 'wrong', name: text, why: read.problem.what });
          else {
            head = read.value;
            if (!known.has(text) && got.kind === 'got') await desk.keepHead(name, head, got.bytes);
          }
        }
      }
      if (head === undefined) return undefined;
      take(head);
      if (!shelved.has(name.digest))
        await this.#missing(
          name,
          head,
          words.find(({ by, isYounger }) => name.day < by.before && !isYounger(name))?.by,
        );
      return undefined;
    });
    if (trouble !== undefined) return trouble;
    for (const name of kept) {
      if (listed.has(writeName(name))) continue;
      tell({ kind: 'head-gone', name: writeName(name) });
      const head = await desk.head(name);
      if (head !== undefined) take(head);
    }
    const headed = new Set(there.map(({ digest }) => digest));
    for (const name of checks) {
      if (headed.has(name.digest)) continue;
      const log = await desk.check(name);
      const seal = log && sealOf(log);
      if (log === undefined || seal === undefined) continue;
      tell({ kind: 'headless', name: writeName(name) });
      take({ device: log.header.device, seal });
    }
    this.named = [...there, ...kept];
    return undefined;
  }

  #notGiven(name: string): void {
    this.#parts.tell({ kind: 'wrong', name, why: 'It is listed, but the store does not give it.' });
  }

  /** `by`: whose word it is that it was deleted. */
  async #missing(name: Named<'head'>, { device, seal }: ShelvedHead, by: Retention | undefined): Promise<void> {
    const { desk, tell } = this.#parts;
    const { station, day, digest, number } = name;
    const check = { kind: 'check', station, day, digest } as const;
    if (by !== undefined) tell({ kind: 'retired', name: writeName(check), by });
    else {
      const here = (await desk.check(check)) !== undefined;
      tell({ kind: 'missing', name: writeName(check), device, number, wall: seal.event.wall, here });
    }
  }

  async #notes(names: readonly Named<'note'>[]): Promise<Problem | undefined> {
    const { desk, again, tell } = this.#parts;
    const byCheck = new Map<string, Named<'note'>[]>();
    // By day, too: one that lies under another day than its check must not take the others with it.
    for (const name of names) {
      const of = `${name.day} ${name.check}`;
      byCheck.set(of, [...(byCheck.get(of) ?? []), name]);
    }
    return eachOf([...byCheck.values()], AT_ONCE, async (notes) => {
      const fresh: FoundNote[] = [];
      for (const name of notes) {
        const here = await desk.hasNote(name);
        if (here && !again) continue;
        const text = writeName(name);
        const got = await this.#place.get(text);
        if (got.kind === 'refused' && got.why !== 'object') return got.problem;
        if (got.kind === 'none') {
          this.#notGiven(text);
          continue;
        }
        const read = got.kind === 'refused' ? got : await readNote(got.bytes, name, text);
        if ('problem' in read) tell({ kind: 'wrong', name: text, why: read.problem.what });
        else if (!here && got.kind === 'got') {
          fresh.push({ note: read.value, name, bytes: got.bytes });
          tell({ kind: 'kept', what: 'note', name: text });
        }
      }
      const [first] = fresh;
      if (first === undefined) return undefined;
      const { station, day, check } = first.name;
      for (const { digest } of await desk.keepNotes({ kind: 'check', station, day, digest: check }, fresh))
        tell({ kind: 'beside', name: writeName({ kind: 'note', station, day, check, digest }) });
      return undefined;
    });
  }
}

function headName(text: string): Named<'head'> | undefined {
  const name = readName(text);
  return name?.kind === 'head' ? name : undefined;
}
