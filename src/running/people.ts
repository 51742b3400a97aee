/** What somebody does: operators check rigs, officers countersign. */
export type Role = 'operator' | 'officer';

/** Somebody of the department, as much as is needed to offer the name. */
export interface Person {
  readonly name: string;
  readonly role: Role;
  /** ISO 8601; absent of those that come with the app. */
  readonly added?: string;
  /** ISO 8601: since then no longer offered. What was checked or signed under the name stays in the record. */
  readonly retired?: string;
}

/** Made-up people of the Tamarack Flats Fire District, beside its made-up rigs; the user retires and removes them. */
export const DEMO_PEOPLE: readonly Person[] = [
  { name: 'A. Okafor', role: 'operator' },
  { name: 'M. Lindqvist', role: 'operator' },
  { name: 'Capt. R. Whitehorse', role: 'officer' },
];

/** Where the list is kept among the small values of this device. */
export const PEOPLE = 'people';

/** The names to offer, in the order of the list; entries that are nobody are left out. Those that come with the app when nothing was stored. */
export function offeredNames(stored: unknown, role?: Role): readonly string[] {
  const all: readonly unknown[] = Array.isArray(stored) ? stored : DEMO_PEOPLE;
  return all.flatMap((each) => {
    if (typeof each !== 'object' || each === null) return [];
    const { name, role: is, retired } = each as Partial<Person>;
    return typeof name === 'string' && name !== '' && retired === undefined && (role === undefined || is === role)
      ? [name]
      : [];
  });
}
