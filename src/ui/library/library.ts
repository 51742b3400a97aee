import type { Plan } from '../../check/plan.ts';
import { readPlan } from '../../check/read-plan.ts';
import type { LimitProfile } from '../../judging/profile.ts';
import { readProfile } from '../../judging/read-profile.ts';
import { bad, type Outcome } from '../../units/outcome.ts';
import type { SmallStore } from '../../running/settings.ts';
import { parse, readOwn, readOwnText, readShelf, withItem, withoutEntry, withoutId } from './shelf.ts';
import type { Shelf, ShelfKind } from './shelf.ts';

export type ShelfName = 'plans' | 'profiles';

/** What was taken in: its shelf, id and title, and whether it replaced an own one with the same id. */
export interface TakenIn {
  readonly shelf: ShelfName;
  readonly id: string;
  readonly title: string;
  readonly replaced: boolean;
}

/** The plans and limit profiles of this device: the built-in ones, and the user's own in the small store. */
export class Library {
  /** Cue ids that a plan may name. */
  readonly knownCues: ReadonlySet<string>;
  readonly #small: SmallStore;
  readonly #kinds: { readonly plans: ShelfKind<Plan>; readonly profiles: ShelfKind<LimitProfile> };
  plans: Shelf<Plan>;
  profiles: Shelf<LimitProfile>;

  constructor(
    small: SmallStore,
    plans: readonly Plan[],
    profiles: readonly LimitProfile[],
    knownCues: ReadonlySet<string>,
  ) {
    this.#small = small;
    this.knownCues = knownCues;
    this.#kinds = {
      plans: { name: 'plan', builtIn: plans, read: (json, where) => readPlan(json, where, knownCues) },
      profiles: { name: 'limit profile', builtIn: profiles, read: readProfile },
    };
    this.plans = readShelf(this.#kinds.plans, small.get('plans'));
    this.profiles = readShelf(this.#kinds.profiles, small.get('profiles'));
  }

  /** Takes in the text of a file called `where`. Without `shelf`, the file's own `format` says what it is. */
  importText(text: string, where: string, shelf?: ShelfName): Outcome<TakenIn> {
    const wanted = shelf ?? shelfOf(text);
    if (wanted === undefined) {
      const json = parse(text, where);
      return json.ok
        ? bad(
            'This is neither a plan nor a limit profile.',
            `${where}, format`,
            'Choose a file that was exported here.',
          )
        : json;
    }
    return wanted === 'plans'
      ? this.#take(wanted, readOwnText(this.#kinds.plans, text, where))
      : this.#take(wanted, readOwnText(this.#kinds.profiles, text, where));
  }

  /** Keeps what an editor made. It passes the same check as a file. */
  keep(item: Plan | LimitProfile): Outcome<TakenIn> {
    return item.format === 'two-needles-plan'
      ? this.#take('plans', readOwn(this.#kinds.plans, item, item.title))
      : this.#take('profiles', readOwn(this.#kinds.profiles, item, item.title));
  }

  remove(shelf: ShelfName, id: string): void {
    this.#store(shelf, withoutId(this.#small.get(shelf), id));
  }

  /** Removes an entry that is listed as unusable. */
  removeUnusable(shelf: ShelfName, at: number): void {
    this.#store(shelf, withoutEntry(this.#small.get(shelf), at));
  }

  #take(shelf: ShelfName, read: Outcome<Plan | LimitProfile>): Outcome<TakenIn> {
    if (!read.ok) return read;
    const { id, title } = read.value;
    const replaced = this[shelf].own.some((own) => own.id === id);
    this.#store(shelf, withItem(this.#small.get(shelf), read.value));
    return { ok: true, value: { shelf, id, title, replaced } };
  }

  #store(shelf: ShelfName, entries: readonly unknown[]): void {
    this.#small.set(shelf, entries);
    if (shelf === 'plans') this.plans = readShelf(this.#kinds.plans, entries);
    else this.profiles = readShelf(this.#kinds.profiles, entries);
  }
}

function shelfOf(text: string): ShelfName | undefined {
  const json = parse(text, '');
  if (!json.ok || typeof json.value !== 'object' || json.value === null) return undefined;
  const { format } = json.value as { readonly format?: unknown };
  if (format === 'two-needles-plan') return 'plans';
  return format === 'two-needles-limits' ? 'profiles' : undefined;
}
