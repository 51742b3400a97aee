import * as v from 'valibot';
import {
  lockedKeySchema,
  newOfficerKey,
  openOfficerKey,
  type LockedKey,
  type OfficerKey,
} from '../record/officer-key.ts';
import { waitLeft, type WrongPins } from '../record/pin-waits.ts';
import { bad, good, type Outcome } from '../units/outcome.ts';
import { without } from '../units/without.ts';
import { DEMO_PEOPLE, PEOPLE, type Person, type Role } from './people.ts';
import type { SmallStore } from './settings.ts';

/** Somebody of the department, with what this device keeps for an officer. */
export interface KeptPerson extends Person {
  /** The officer's own key, sealed by the PIN; absent where none was made on this device. */
  readonly key?: LockedKey;
  readonly wrong?: WrongPins;
}

export const MOST_NAME = 60;
const name = v.pipe(v.string(), v.trim(), v.nonEmpty(), v.maxLength(MOST_NAME), v.regex(/^[^\p{Cc}\p{Cf}]*$/u));
const person = v.object({
  name,
  role: v.picklist(['operator', 'officer']),
  added: v.exactOptional(v.string()),
  retired: v.exactOptional(v.string()),
  // A key that was spoilt is none: the officer makes a new one, and stays in the list.
  key: v.fallback(v.optional(lockedKeySchema), undefined),
  wrong: v.fallback(v.optional(v.strictObject({ count: v.number(), last: v.number() })), undefined),
});

/** The people that were stored; entries that are nobody are left out. Those that come with the app when nothing was stored. */
export function readPeople(stored: unknown): readonly KeptPerson[] {
  if (!Array.isArray(stored)) return DEMO_PEOPLE;
  return stored.flatMap((each): KeptPerson[] => {
    const read = v.safeParse(person, each);
    if (!read.success) return [];
    const { key, wrong, ...rest } = read.output;
    return [{ ...rest, ...(key === undefined ? {} : { key }), ...(wrong === undefined ? {} : { wrong }) }];
  });
}

/** The people of this device and the keys of its officers. `wall` is ISO 8601; `rounds` is for tests alone. */
export class PeopleBook {
  readonly #small: SmallStore;
  readonly #wall: () => string;
  readonly #rounds: number | undefined;

  constructor(small: SmallStore, wall: () => string, rounds?: number) {
    this.#small = small;
    this.#wall = wall;
    this.#rounds = rounds;
  }

  get all(): readonly KeptPerson[] {
    return readPeople(this.#small.get(PEOPLE));
  }

  find(called: string): KeptPerson | undefined {
    return this.all.find((each) => each.name === called.trim());
  }

  /** Refused: no name, a name that is there already. */
  add(called: string, role: Role): Outcome<KeptPerson> {
    const read = v.safeParse(name, called);
    if (!read.success) return bad(`A name has 1 to ${MOST_NAME} printable characters.`);
    if (this.find(read.output) !== undefined)
      return bad(`“${read.output}” is in the list already.`, undefined, 'Two people of one name need something more.');
    const fresh: KeptPerson = { name: read.output, role, added: this.#wall() };
    this.#set([...this.all, fresh]);
    return good(fresh);
  }

  /** No longer offered, and no longer signs; the key is kept for when they come back. */
  retire(called: string): void {
    this.#change(called, (each) => ({ ...each, retired: this.#wall() }));
  }

  bringBack(called: string): void {
    this.#change(called, (each) => without(each, 'retired'));
  }

  /** Out of the list, with the key. */
  remove(called: string): void {
    this.#set(this.all.filter((each) => each.name !== called));
  }

  /** A new key for an officer, opened by the PIN; in place of the one before, where there is one, which then signs nothing more. */
  async makeKey(called: string, pin: string): Promise<Outcome<LockedKey>> {
    const before = this.find(called);
    if (before?.role !== 'officer' || before.retired !== undefined) return notAnOfficer(called);
    const made = await newOfficerKey(pin, this.#wall(), before.key?.key, this.#rounds);
    if (made.ok) this.#change(called, (each) => ({ ...without(each, 'wrong'), key: made.value }));
    return made;
  }

  /** The officer's key, where it is the right PIN. Each wrong one is counted, also over a reload, and what follows waits longer. */
  async openKey(called: string, pin: string): Promise<Outcome<OfficerKey>> {
    const officer = this.find(called);
    if (officer?.role !== 'officer' || officer.retired !== undefined) return notAnOfficer(called);
    const { key } = officer;
    if (key === undefined)
      return bad(`${officer.name} has no key on this device.`, undefined, 'Make one under Rigs, People.');
    const now = Date.parse(this.#wall());
    const left = waitLeft(officer.wrong, now);
    if (left > 0) return bad(`Too many wrong PINs: the next can be tried in ${waitWords(left)}.`);
    // Counted before it is tried: a page that is closed in between saves no try.
    const wrong = { count: (officer.wrong?.count ?? 0) + 1, last: now };
    this.#change(called, (each) => ({ ...each, wrong }));
    const opened = await openOfficerKey(key, pin);
    if (opened === undefined) {
      const next = waitLeft(wrong, now);
      return bad(`Wrong PIN.${next === 0 ? '' : ` The next can be tried in ${waitWords(next)}.`} Nothing was signed.`);
    }
    this.#change(called, (each) => without(each, 'wrong'));
    return good(opened);
  }

  #change(called: string, change: (person: KeptPerson) => KeptPerson): void {
    this.#set(this.all.map((each) => (each.name === called.trim() ? change(each) : each)));
  }

  #set(people: readonly KeptPerson[]): void {
    this.#small.set(PEOPLE, people);
  }
}

function notAnOfficer(called: string): ReturnType<typeof bad> {
  return bad(
    `${called.trim() || 'Nobody'} is not an officer of this device’s list.`,
    undefined,
    'Add them under Rigs, People.',
  );
}

function waitWords(ms: number): string {
  const seconds = Math.ceil(ms / 1000);
  return seconds < 120 ? `${seconds} s` : `${Math.ceil(seconds / 60)} min`;
}
