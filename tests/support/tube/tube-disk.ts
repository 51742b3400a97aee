import type { EntryStore } from '../../../src/record/record-store.ts';

/** What goes wrong with the disk, by the events written to it over the whole tube, from 1 on. */
export interface DiskTrouble {
  /** These writes are refused, as a full or broken disk does. */
  readonly refuses?: (nth: number) => boolean;
  /** The page is closed in this write, before or after it has reached the disk. */
  readonly closes?: (nth: number) => 'before' | 'after' | undefined;
}

/** A disk that has its troubles. `count` is kept outside, since the disk outlives its pages. */
export function troubledDisk(
  disk: EntryStore,
  { refuses, closes }: DiskTrouble,
  count: { written: number },
  closePage: () => void,
): EntryStore {
  const never = new Promise<never>(() => undefined);
  return new Proxy(disk, {
    get(target, name) {
      if (name !== 'append') {
        const value: unknown = Reflect.get(target, name);
        return value;
      }
      return async (...event: Parameters<EntryStore['append']>): Promise<void> => {
        count.written += 1;
        const closing = closes?.(count.written);
        if (refuses?.(count.written) === true) throw new Error(`write ${count.written} is refused by the test`);
        if (closing !== 'before') await target.append(...event);
        if (closing === undefined) return;
        closePage();
        await never;
      };
    },
  });
}
