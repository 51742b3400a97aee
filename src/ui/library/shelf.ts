import { bad, good, problemLine, type Outcome } from '../../units/outcome.ts';

/** One kind of thing that is kept beside the built-in ones: plans, or limit profiles. */
export interface ShelfKind<T extends Item> {
  readonly name: 'plan' | 'limit profile';
  readonly builtIn: readonly T[];
  /** Checks parsed JSON; `where` names the file in the problem. */
  readonly read: (json: unknown, where: string) => Outcome<T>;
}

interface Item {
  readonly id: string;
  readonly title: string;
}

/** What was stored but cannot be used. It stays stored until the user removes it. */
interface Unusable {
  /** Place among what is stored, for `without`. */
  readonly at: number;
  readonly name: string;
  /** One line: JSON path, reason, repair. */
  readonly reason: string;
}

/** The built-in things and the user's own, in this order. */
export interface Shelf<T extends Item> {
  readonly all: readonly T[];
  readonly own: readonly T[];
  readonly unusable: readonly Unusable[];
}

/** Reads back what was stored. Nothing that was stored can make this fail: what is not valid is listed with its reason. */
export function readShelf<T extends Item>(kind: ShelfKind<T>, stored: unknown): Shelf<T> {
  const own: T[] = [];
  const unusable: Unusable[] = [];
  for (const [at, json] of entriesOf(stored).entries()) {
    const name = nameOf(json) ?? `${kind.name} ${String(at + 1)}`;
    const read = readOwn(kind, json, name);
    if (!read.ok) unusable.push({ at, name, reason: problemLine(read.problem) });
    else if (own.some(({ id }) => id === read.value.id))
      unusable.push({ at, name, reason: `${name}: The id “${read.value.id}” is stored twice.` });
    else own.push(read.value);
  }
  return { all: [...kind.builtIn, ...own], own, unusable };
}

/**
 * A user's own thing from parsed JSON. Refused with file, JSON path and reason when it is not valid, or has the id of
 * a built-in one.
 */
export function readOwn<T extends Item>(kind: ShelfKind<T>, json: unknown, where: string): Outcome<T> {
  const read = kind.read(json, where);
  if (!read.ok) return read;
  const builtIn = kind.builtIn.find(({ id }) => id === read.value.id);
  if (builtIn === undefined) return read;
  return bad(
    `“${builtIn.id}” is the id of the built-in ${kind.name} “${builtIn.title}”, which is never replaced.`,
    `${where}, id`,
    'Give it an id of its own.',
  );
}

/** As `readOwn`, from the text of a file. */
export function readOwnText<T extends Item>(kind: ShelfKind<T>, text: string, where: string): Outcome<T> {
  const json = parse(text, where);
  return json.ok ? readOwn(kind, json.value, where) : json;
}

/** JSON of a file, or the reason why it is none. */
export function parse(text: string, where: string): Outcome<unknown> {
  try {
    return good(JSON.parse(text.replace(/^\uFEFF/, '')) as unknown);
  } catch {
    return bad('This is not a JSON file.', where, 'Choose a file that was exported here, or check it in an editor.');
  }
}

/** What is to be stored once `item` is added, or has replaced the one with its id. */
export function withItem(stored: unknown, item: Item): readonly unknown[] {
  const entries = entriesOf(stored);
  const at = entries.findIndex((json) => idOf(json) === item.id);
  return at < 0 ? [...entries, item] : entries.with(at, item);
}

/** What is to be stored once the entry with this id is removed. */
export function withoutId(stored: unknown, id: string): readonly unknown[] {
  return entriesOf(stored).filter((json) => idOf(json) !== id);
}

/** What is to be stored once an unusable entry is removed. */
export function withoutEntry(stored: unknown, at: number): readonly unknown[] {
  return entriesOf(stored).filter((_, index) => index !== at);
}

/** `base-copy`, or `base-copy-2` and so on: an id that none of `taken` has. */
export function copyId(base: string, taken: readonly Item[]): string {
  const stem = base.replace(/-copy(-\d+)?$/, '');
  for (let number = 1; ; number += 1) {
    const id = number === 1 ? `${stem}-copy` : `${stem}-copy-${String(number)}`;
    if (!taken.some((item) => item.id === id)) return id;
  }
}

/** The text of an exported file; importing it gives the same thing again. */
export function fileText(item: Item): string {
  return `${JSON.stringify(item, null, 2)}\n`;
}

function entriesOf(stored: unknown): readonly unknown[] {
  return Array.isArray(stored) ? stored : [];
}

function idOf(json: unknown): unknown {
  return typeof json === 'object' && json !== null ? (json as Partial<Item>).id : undefined;
}

function nameOf(json: unknown): string | undefined {
  const title: unknown = typeof json === 'object' && json !== null ? (json as Partial<Item>).title : undefined;
  return typeof title === 'string' && title.trim() !== '' ? title : undefined;
}
