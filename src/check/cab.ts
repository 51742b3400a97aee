import type { CAB_PARTS, CabPart } from '../judging/condition.ts';
import type { Ms } from '../units/time.ts';
import { without } from '../units/without.ts';

/** What one part of the cab is known to be, and the callout that says so. */
export interface Fact {
  readonly is: string;
  /** Onset of the callout, and its words. */
  readonly at: Ms;
  readonly heard: string;
  /** When it was last called again. */
  readonly again?: Ms;
  /** Nobody knows what happened since: the check was paused or cut off for longer than `STALE_MS`. */
  readonly stale?: true;
}

/** A pause or a cut of the check longer than this leaves nothing known of the cab. Ours, no source. */
export const STALE_MS: Ms = 120_000;

/** What is known of the rig at a moment from all that was called. A part that is absent is unknown. */
export type Cab = { readonly [Part in CabPart]?: Fact };

type States = { readonly [Part in CabPart]?: (typeof CAB_PARTS)[Part][number] };

/** A rig that was stopped stands with the foot on its brake. */
const STOPPED: States = { 'brake pedal': 'applied' };

/** What a cue says of the cab, in whatever step it is called. */
const SAYS: Readonly<Record<string, States>> = {
  'engine-started': { engine: 'running' },
  'engine-off': { engine: 'off', 'fast idle': 'off' },
  'fast-idle-set': { engine: 'running', 'fast idle': 'on' },
  'fast-idle-off': { 'fast idle': 'off' },
  // A brake that somebody stands on is not released: the cue is said of the parking brake and of the pedal.
  'brakes-released': { 'parking brake': 'released', 'brake pedal': 'free' },
  'parking-brake-set': { 'parking brake': 'set' },
  'valve-popped': { 'parking brake': 'set' },
  'brake-applied': { 'brake pedal': 'applied' },
  'pedal-released': { 'brake pedal': 'free' },
  'chocks-set': { chocks: 'set' },
  'chocks-stowed': { chocks: 'stowed' },
  'in-drive': { selector: 'in drive' },
  settled: { needles: 'settled' },
  'not-engine-started': { engine: 'off' },
  'not-engine-off': { engine: 'running' },
  'not-fast-idle-set': { 'fast idle': 'off' },
  'not-fast-idle-off': { 'fast idle': 'on' },
  'not-brakes-released': { 'parking brake': 'set' },
  'not-parking-brake-set': { 'parking brake': 'released' },
  'not-brake-applied': { 'brake pedal': 'free' },
  'not-chocks-set': { chocks: 'stowed' },
  'not-chocks-stowed': { chocks: 'set' },
  'not-in-drive': { selector: 'neutral' },
  'straight-stop': STOPPED,
  'pulled-left': STOPPED,
  'pulled-right': STOPPED,
};

const DRIVING: States = { engine: 'running', selector: 'in drive' };

/**
 * What must have been so for a cue to be true. It contradicts what was known of the part, but makes nothing known: that the governor cut
 * out is no callout of a running engine.
 */
const IMPLIES: Readonly<Record<string, States>> = {
  // An engine is not started in drive.
  'engine-started': { selector: 'neutral' },
  'cut-out': { engine: 'running' },
  'cut-in': { engine: 'running', 'brake pedal': 'fanned' },
  buzzer: { 'brake pedal': 'fanned' },
  'no-warning': { 'brake pedal': 'fanned' },
  'valve-popped': { 'brake pedal': 'fanned' },
  'valve-stayed-in': { 'brake pedal': 'fanned', 'parking brake': 'released' },
  'rig-held': DRIVING,
  'rig-moved': DRIVING,
  'hand-valve-held': DRIVING,
  'straight-stop': { ...DRIVING, chocks: 'stowed' },
  'pulled-left': { ...DRIVING, chocks: 'stowed' },
  'pulled-right': { ...DRIVING, chocks: 'stowed' },
};

type Listed = ReadonlyMap<string, readonly (readonly [CabPart, string])[]>;

/** The tables by cue, as every callout looks into them. */
const SAID = listed(SAYS);
const IMPLIED = listed(IMPLIES);

function listed(table: Readonly<Record<string, States>>): Listed {
  return new Map(Object.entries(table).map(([cue, states]) => [cue, Object.entries(states) as [CabPart, string][]]));
}

/** A change of these moves the needles: they have to settle anew. */
const STIRS: ReadonlySet<CabPart> = new Set(['engine', 'parking brake', 'brake pedal']);

/** Called once more while it is kept up, these say that it was not so in between: nobody says so of a foot that has not moved. */
const RENEWED: ReadonlySet<string> = new Set(['brake-applied', 'pedal-released']);

/** True when the cue, called again, makes it doubtful whether what it said was kept up. */
export function isRenewed(cue: string, cab: Cab): boolean {
  return RENEWED.has(cue) && (SAID.get(cue) ?? []).some(([part, is]) => cab[part]?.is === is);
}

/** The cues that, called again, make it doubtful that `part` was `is` all the time. */
export function cuesRenewing(part: CabPart, is: string): string[] {
  return [...RENEWED].filter((cue) => says(cue, part, is));
}

/** Cues that say that something went wrong. They hold until they are corrected in so many words. */
const ADVERSE: ReadonlySet<string> = new Set([
  'rig-moved',
  'pulled-left',
  'pulled-right',
  'no-warning',
  'valve-stayed-in',
]);

export function isAdverse(cue: string | undefined): boolean {
  return cue !== undefined && ADVERSE.has(cue);
}

/** Every cue that says that something went wrong. */
export const ADVERSE_CUES: readonly string[] = [...ADVERSE];

/** The cues that say outright that anything known of the cab is not so. */
export function cuesAgainstKnown(cab: Cab): string[] {
  return (Object.entries(cab) as [CabPart, Fact][]).flatMap(([part, { is }]) => cuesAgainst(part, is));
}

/** True when the cue makes it known that `part` is `is`. */
export function says(cue: string, part: CabPart, is: string): boolean {
  return SAYS[cue]?.[part] === is;
}

/** True when the cue cannot be true while `part` is `is`. */
export function speaksAgainst(cue: string, part: CabPart, is: string): boolean {
  return [SAYS[cue]?.[part], IMPLIES[cue]?.[part]].some((state) => state !== undefined && state !== is);
}

/** Every cue that says something of the cab. */
export const CAB_CUES: readonly string[] = Object.keys(SAYS);

/** False where the cab is told of by the way: what a stop is called is listened for, and has its place, where one is made. */
export function isAboutCab(cue: string): boolean {
  return SAYS[cue] !== undefined && SAYS[cue] !== STOPPED;
}

/** The cues that say outright that `part` is not `is`. */
export function cuesAgainst(part: CabPart, is: string): string[] {
  return CAB_CUES.filter((cue) => isAboutCab(cue) && SAYS[cue]?.[part] !== undefined && SAYS[cue][part] !== is);
}

/** Neither state: what was known and what was called cannot both be. */
export const UNCLEAR = 'unclear';

/** The cab after cues that were called at `at`, in the order spoken. */
export function movedBy(cab: Cab, cues: readonly string[], { at, heard }: Pick<Fact, 'at' | 'heard'>): Cab {
  let next = cab;
  for (const cue of cues) {
    for (const [part, is] of IMPLIED.get(cue) ?? []) {
      if (next[part] !== undefined && next[part].is !== is) next = { ...next, [part]: { is: UNCLEAR, at, heard } };
    }
    for (const [part, is] of SAID.get(cue) ?? []) {
      const before = next[part];
      // Words that began before others do not take back what those say.
      if (before !== undefined && before.is !== is && before.at > at) continue;
      // What was known already stays known since it was first called.
      if (before?.is === is && before.stale !== true) {
        next = { ...next, [part]: { ...before, again: at } };
        continue;
      }
      next = { ...next, [part]: { is, at, heard } };
      if (STIRS.has(part) && next.needles !== undefined) next = without(next, 'needles');
    }
  }
  return next;
}

/** The cab when these cues are taken back: what they said is not known. */
export function takenBack(cab: Cab, cues: readonly string[]): Cab {
  return without(cab, ...cues.flatMap((cue) => (SAID.get(cue) ?? []).map(([part]) => part)));
}

/** Cues among `heard` that are no longer true of the cab: they have to be called again. */
export function outdated(heard: readonly string[], cab: Cab): string[] {
  return heard.filter((cue) =>
    SAID.get(cue)?.some(([part, is]) => {
      const fact = cab[part];
      return fact === undefined || fact.stale === true || fact.is !== is;
    }),
  );
}

/** The cab after a time in which anything may have been done to it. */
export function grownStale(cab: Cab): Cab {
  return Object.fromEntries(Object.entries(cab).map(([part, fact]) => [part, { ...fact, stale: true }]));
}
