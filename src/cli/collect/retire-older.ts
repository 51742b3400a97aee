import type { KnownKey } from '../../record/known-keys.ts';
import { isDay } from '../../shelf/names.ts';
import type { Place } from '../../shelf/place.ts';
import { retire } from '../../shelf/retire.ts';
import { good, type Outcome } from '../../units/outcome.ts';
import { openKeyFile } from '../shared/key-file.ts';
import type { Printer } from '../shared/printer.ts';
import { printable } from '../shared/printer.ts';
import type { RetireTask } from './collect-arguments.ts';

const DAY_MS = 86_400_000;

interface Told {
  readonly place: Place;
  readonly station?: string;
  readonly known: readonly KnownKey[];
  /** ISO 8601. */
  readonly wall: string;
  readonly sleep: (ms: number) => Promise<void>;
}

/** Deletes what is older than asked, or says what would be; false when something stays for want of a head. */
export async function retireOlder(task: RetireTask, told: Told, printer: Printer): Promise<Outcome<boolean>> {
  const { olderThan, remove } = task;
  const before = isDay(olderThan)
    ? olderThan
    : new Date(Date.parse(told.wall) - Number(olderThan) * DAY_MS).toISOString().slice(0, 10);
  const key = remove === undefined ? good(undefined) : await openKeyFile(remove.key);
  if (!key.ok) return key;
  const signer = key.value?.signer;
  const done = await retire({ ...told, before, ...(signer === undefined ? {} : { signer }) });
  if ('what' in done) return { ok: false, problem: done };
  for (const name of done.stay)
    printer.out(
      printable(
        `${name} stays: no head that verifies would be left of it (collect first; its device puts the head), or its device had made later days’ checks before it, so that its day is wrong.`,
      ),
    );
  const { checks, notes, clips } = done;
  const what = `${checks} checks, ${notes} remarks and ${clips} sounds of days before ${before}`;
  printer.out(
    remove === undefined ? `${what} would be deleted. Add --delete --key FILE.` : `Deleted ${what}. Heads stay.`,
  );
  return good(done.stay.length === 0);
}
