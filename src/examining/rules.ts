import type { Source } from '../judging/result.ts';
import airBrake from './air-brake-parts.json';

/** `said`: called, but it did not count; `omitted`: never called, or skipped. */
export type PartState = 'done' | 'said' | 'omitted';

/** How an item of the walk is named where an examiner marks it; no required part has a colon in its id. */
export function markOfItem(id: string): string {
  return `item:${id}`;
}

/** One thing that the candidate has to do and say. */
export interface RequiredPart {
  readonly id: string;
  readonly title: string;
  /** Any of these is its callout; without them, the needles of its step are. */
  readonly cues?: readonly string[];
  /** The step of the check that has to be judged for it to be done. */
  readonly step?: string;
  /** Some examiners want its limit spoken: for the examiner to put down, since the ear does not listen for it. */
  readonly limit?: boolean;
  readonly source: string;
}

/** What an examination asks for: the parts in their order, and what fails it without a judgement. */
export interface ExamRules {
  readonly id: string;
  readonly title: string;
  readonly sources: Readonly<Record<string, Source>>;
  readonly parts: readonly RequiredPart[];
  readonly fails: readonly {
    /** `limit not stated`: of a part with a limit, as the examiner put it down. */
    readonly on: readonly (PartState | 'limit not stated')[];
    /** Limit profiles that it holds under; all when absent. */
    readonly profiles?: readonly string[];
    /** These parts alone; all when absent. */
    readonly parts?: readonly string[];
    readonly words: string;
    readonly source: string;
  }[];
}

/** The air brake part: 49 CFR 383.113(a)(2) and the practice of examiner manuals. */
export const AIR_BRAKE_EXAM = airBrake as ExamRules;
