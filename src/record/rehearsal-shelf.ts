import { DATABASE, openDatabase } from './database.ts';

/** What is kept of a rehearsal that is over; what else is in it is for the rehearsals to know. */
export interface KeptRehearsal {
  readonly id: string;
  readonly trainee: string;
  /** ISO 8601, when it began. */
  readonly wall: string;
}

/** Where past rehearsals are kept. Methods reject with the storage's own error. */
export interface RehearsalShelf {
  /** `disk` outlives the page; `memory` does not. */
  readonly place: 'disk' | 'memory';
  /** One of the same id is replaced. */
  keep(rehearsal: KeptRehearsal): Promise<void>;
  /** In no order; what another build kept may lack what this one looks for. */
  all(): Promise<readonly KeptRehearsal[]>;
  remove(id: string): Promise<void>;
}

/** Past rehearsals in the device's database. Rejects as `openDatabase` does. */
export async function diskRehearsals(name = DATABASE): Promise<RehearsalShelf> {
  const db = await openDatabase(name);
  return {
    place: 'disk',
    async keep(rehearsal) {
      await db.put('rehearsals', rehearsal);
    },
    all: () => db.getAll('rehearsals'),
    remove: (id) => db.delete('rehearsals', id),
  };
}

/** Past rehearsals until the page closes. */
export function memoryRehearsals(): RehearsalShelf {
  const kept = new Map<string, KeptRehearsal>();
  return {
    place: 'memory',
    keep(rehearsal) {
      kept.set(rehearsal.id, rehearsal);
      return Promise.resolve();
    },
    all: () => Promise.resolve([...kept.values()]),
    remove(id) {
      kept.delete(id);
      return Promise.resolve();
    },
  };
}
