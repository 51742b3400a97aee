import { bad, good, type Outcome } from '../units/outcome.ts';
import type { OpenDefect } from './open-defect.ts';

/** What a driver found of a defect that the last report lists; `certified`: somebody vouches for its repair. */
export const FOUND = ['repaired', 'still there', 'certified'] as const;
export type Found = (typeof FOUND)[number];

/**
 * A driver's review of the last report, signed before the check begins: the name here, and the key of the device by the seal of the log
 * that it is kept in. It closes no defect: each is asked about again in the walk.
 */
export interface ReportReview {
  readonly driver: string;
  /** ISO 8601. */
  readonly wall: string;
  readonly defects: readonly (Pick<OpenDefect, 'item' | 'title' | 'words' | 'class' | 'since' | 'check'> & {
    readonly found: Found;
    /** Who certified the repair. */
    readonly by?: string;
  })[];
}

/** What is put in of each defect, by item. */
export type ReviewInput = ReadonlyMap<string, { readonly found?: Found; readonly by: string }>;

/** The signed review; a `Problem` for the first defect that nothing was found of, a repair that nobody certified, or no name. */
export function signReview(
  open: readonly OpenDefect[],
  input: ReviewInput,
  driver: string,
  wall: string,
): Outcome<ReportReview> {
  const defects: ReportReview['defects'][number][] = [];
  for (const { item, title, words, class: is, since, check } of open) {
    const { found, by = '' } = input.get(item) ?? {};
    if (found === undefined) return bad('Nothing is said of this defect.', title, 'Say what you found.');
    const who = by.trim();
    if (found === 'certified' && who === '')
      return bad('Nobody is named who certified the repair.', title, 'Name who did.');
    const certified = found === 'certified' ? { by: who } : {};
    defects.push({ item, title, words, class: is, since, check, found, ...certified });
  }
  const name = driver.trim();
  if (name === '') return bad('Nobody has signed.', 'Driver', 'Enter the driver’s name.');
  return good({ driver: name, wall, defects });
}

/** "Belts: frayed: repair certified by J. Doe". */
export function reviewedLine({ title, words, found, by }: ReportReview['defects'][number]): string {
  return `${title}: ${words}: ${by === undefined ? found : `repair certified by ${by}`}`;
}
