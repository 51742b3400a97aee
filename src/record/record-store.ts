import type { Answer } from '../check/answer.ts';
import type { CheckEvent } from '../check/event.ts';
import type { StepRecord } from '../check/state.ts';
import type { Link, LogEvent, LogHeader } from './log.ts';

type CheckVerdict = Extract<Answer, { type: 'finished' }>['verdict'];

type Figures = StepRecord['result']['figures'];
type FigureUnit = NonNullable<Figures[keyof Figures]>['unit'];

/** A figure as lists, trends and comparisons need it, with the strictest bound on each side that it was judged by. */
export interface HeadFigure {
  readonly name: keyof Figures;
  readonly value: number;
  readonly unit: FigureUnit;
  readonly min?: number;
  readonly max?: number;
  /** Unit of the bounds; absent without any. */
  readonly limitUnit?: FigureUnit;
}

/** A step as lists show it. */
export interface HeadStep {
  readonly title: string;
  readonly verdict: string;
  /** Absent in lists that were kept by a build without trends. */
  readonly id?: string;
  readonly figures?: readonly HeadFigure[];
  /** Items of a walk that were bad, and those that were said to be repaired. */
  readonly defects?: readonly HeadDefect[];
  readonly repaired?: readonly string[];
  /** Ids of the photos of its items, among the clips. */
  readonly photos?: readonly { readonly item: string; readonly ids: readonly string[] }[];
}

/** A defect as lists show it. */
interface HeadDefect {
  readonly item: string;
  readonly title: string;
  readonly words: string;
  readonly class: 'out-of-service' | 'report';
}

/** An officer's remark as lists show it; with `repair`, the id of the step whose defect it says was repaired. */
export interface HeadRemark {
  readonly officer: string;
  readonly text: string;
  readonly wall: string;
  readonly repair?: string;
}

/** What a list of checks shows without reading the events. */
export interface CheckHead {
  readonly id: string;
  /** ISO 8601 wall time of sample 0. */
  readonly startedAt: string;
  readonly rigId: string;
  readonly rigName: string;
  readonly operator: string;
  readonly planTitle: string;
  /** It was done as an examination; absent in lists that were kept before that was noted. */
  readonly examination?: true;
  /** `running` until the check ends; a head that is still running when the app opens is an unfinished check. */
  readonly state: 'running' | 'finished' | 'given-up';
  readonly verdict?: CheckVerdict;
  readonly steps?: readonly HeadStep[];
  /** How the log's chain begins; put there when the check is begun. */
  readonly log?: LogHeader;
  /** The log came from a file. */
  readonly imported?: true;
  /** What was wrong with an imported log, in one sentence. */
  readonly trouble?: string;
  /** Officers who have countersigned. */
  readonly countersigned?: readonly string[];
  /** None of them with a key of their own; absent where that was not noted. */
  readonly nameOnly?: boolean;
  readonly remarks?: readonly HeadRemark[];
}

/**
 * The sound of one callout, or the picture of an item: then `wav`, whose name is older than pictures, is a JPEG. `kept` orders clips by age,
 * oldest first; see `keptAs`.
 */
export interface Clip {
  readonly id: string;
  readonly check: string;
  readonly kept: number;
  readonly wav: Blob;
}

/** What is kept of a rehearsal that is over; what else is in it is for the rehearsals to know. */
export interface KeptRehearsal {
  readonly id: string;
  readonly trainee: string;
  /** ISO 8601, when it began. */
  readonly wall: string;
}

/**
 * Where checks are kept. Every method rejects with the storage's own error when it could not be done;
 * `keepingStore` turns those into notices. `chainedStore` lays the hash chain and the seal over `append` and `close`.
 */
export interface RecordStore {
  /** `disk` outlives the page; `memory` does not. */
  readonly place: 'disk' | 'memory';
  begin(head: CheckHead): Promise<void>;
  /**
   * Resolves when the event is durable. `index` is the event's place in the log, from 0; a place is written once:
   * a second writer (another tab) is refused, never overwritten.
   */
  append(check: string, index: number, event: CheckEvent): Promise<void>;
  close(head: CheckHead): Promise<void>;
  events(check: string): Promise<readonly CheckEvent[]>;
  /** All heads, or the newest so many, newest first. */
  heads(most?: number): Promise<readonly CheckHead[]>;
  keepClip(clip: Clip): Promise<void>;
  clip(id: string): Promise<Clip | undefined>;
  /** Gives a clip up for good: a photo that was taken back. */
  dropClip(id: string): Promise<void>;
  /** Gives up the oldest clip to make room. False when there is none left. */
  dropOldestClip(): Promise<boolean>;
  /** Takes a check out, with its events and clips. Only for the made-up checks of the demo: a real log stays. */
  remove(check: string): Promise<void>;
}

/** An event as it is kept; without a link when it was kept by a build that had no chain. */
export interface StoredEntry {
  readonly event: LogEvent;
  readonly link?: Link;
}

/** A store that keeps whole logs: what `chainedStore` builds on. */
export interface EntryStore extends RecordStore {
  append(check: string, index: number, event: LogEvent, link?: Link): Promise<void>;
  head(check: string): Promise<CheckHead | undefined>;
  /** All of a log, in order, with its seal and what follows it. */
  entries(check: string): Promise<readonly StoredEntry[]>;
  /** Keeps a log that came from elsewhere: all of it or nothing. Rejects with a `ConstraintError` when there is a check of that id. */
  addLog(head: CheckHead, entries: readonly StoredEntry[], clips: readonly Clip[]): Promise<void>;
}

/** True for the error that browsers use when storage is full. */
export function isFull(error: unknown): boolean {
  return error instanceof Error && error.name === 'QuotaExceededError';
}
