import { openDB } from 'idb';
import type { DBSchema } from 'idb';
import type { Sent } from './parcel.ts';
import type { SentStore } from './sender.ts';
import type { ShelfFile } from './shelf-file.ts';

/** When sounds go: never, only by wifi or cable, or by any network. */
export type SoundChoice = 'never' | 'wifi' | 'any';

/** The shelf of this device, as somebody has set it. */
export interface ShelfSetting {
  readonly file: ShelfFile;
  /** Nothing is sent or asked while it is off. */
  readonly on: boolean;
  readonly sounds: SoundChoice;
}

/** What a device keeps of its shelf. Methods reject with the storage's own error. */
export interface ShelfDisk extends SentStore {
  setting(): Promise<ShelfSetting | undefined>;
  /** With another address or station, nothing is taken to have gone there. */
  set(setting: ShelfSetting | undefined): Promise<void>;
  /** Takes nothing to have gone any more. */
  forgetSent(): Promise<void>;
}

interface ShelfSchema extends DBSchema {
  setting: { key: 'setting'; value: ShelfSetting };
  sent: { key: string; value: Sent };
}

const DATABASE = 'two-needles-shelf';
const DURABLE = { durability: 'strict' } as const;

/** In a database of its own: the record never waits for it. Rejects where the browser has none. */
export async function openShelfDisk(name = DATABASE): Promise<ShelfDisk> {
  const db = await openDB<ShelfSchema>(name, 1, {
    upgrade(database) {
      database.createObjectStore('setting');
      database.createObjectStore('sent', { keyPath: 'check' });
    },
  });
  return {
    all: () => db.getAll('sent'),
    async keep(sent) {
      await db.put('sent', sent);
    },
    forgetSent: () => db.clear('sent'),
    setting: () => db.get('setting', 'setting'),
    async set(setting) {
      const tx = db.transaction(['setting', 'sent'], 'readwrite', DURABLE);
      const settings = tx.objectStore('setting');
      const before = await settings.get('setting');
      if (placeOf(before) !== placeOf(setting)) await tx.objectStore('sent').clear();
      if (setting === undefined) await settings.delete('setting');
      else await settings.put(setting, 'setting');
      await tx.done;
    },
  };
}

function placeOf(setting: ShelfSetting | undefined): string {
  return setting === undefined ? '' : `${setting.file.place.address} ${setting.file.station ?? ''}`;
}
