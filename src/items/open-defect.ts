import type { DefectClass } from './item.ts';
import { dateAt, epochMs } from '../units/calendar.ts';

/** A defect of the rig that an earlier check found and none has closed since. Kept in the start of a check. */
export interface OpenDefect {
  readonly item: string;
  readonly title: string;
  /** What was bad, in words. */
  readonly words: string;
  readonly class: DefectClass;
  /** ISO 8601 wall time of the check that opened it, that check's id, and who called it. */
  readonly since: string;
  readonly check: string;
  readonly operator: string;
  /** Ids of the photos that checks since then have of it, in the record of this device. */
  readonly photos?: readonly string[];
}

/** "Belts: frayed, reported Monday"; the day of the week within one week, the date later. */
export function openDefectLine({ title, words, since }: OpenDefect, now: string): string {
  return `${title}: ${words}, reported ${dayWords(since, now)}`;
}

function dayWords(since: string, now: string): string {
  const then = dateAt(epochMs(since));
  const days = (epochMs(now) - then.getTime()) / 86_400_000;
  if (days < 6) return then.toLocaleDateString('en-US', { weekday: 'long', timeZone: 'UTC' });
  return then.toLocaleDateString('en-US', { year: 'numeric', month: 'long', day: 'numeric', timeZone: 'UTC' });
}
