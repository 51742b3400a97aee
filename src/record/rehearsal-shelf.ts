import { DATABASE, connect } from './database.ts';
import type { KeptRehearsal } from './record-store.ts';

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

/** Past rehearsals in the device's database. Rejects as `connect` does. */
export async function diskRehearsals(name = DATABASE): Promise<RehearsalShelf> {
  const open = await connect(name);
  return {
    place: 'disk',
    async keep(rehearsal) {
      await (await open()).put('rehearsals', rehearsal);
    },
    all: async () => (await open()).getAll('rehearsals'),
    remove: async (id) => (await open()).delete('rehearsals', id),
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
