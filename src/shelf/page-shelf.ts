import type { ChainedStore } from '../record/chained-store.ts';
import type { Clock } from '../units/clock.ts';
import { ShelfKeeper, type KeeperParts } from './keeper.ts';
import { openPlace } from './open-place.ts';
import { openShelfDisk } from './shelf-disk.ts';
import type { XmlReader } from './xml.ts';

/** What the app alone can tell. */
interface PageParts extends Pick<KeeperParts, 'locks' | 'unconfirmed'> {
  readonly store: ChainedStore;
  readonly clock: Pick<Clock, 'steady' | 'wall'>;
  readonly xml: XmlReader;
}

/** As much of the Network Information API as is used; few browsers have it. */
interface Linked {
  readonly connection?: { readonly type?: string };
}

/** The shelf of a page, as it was set; it begins at once, and asks nobody for anything unless it is on. */
export async function pageShelf({ store, clock, xml, ...rest }: PageParts): Promise<ShelfKeeper> {
  const disk = await openShelfDisk();
  const keeper = new ShelfKeeper({
    ...rest,
    ...{ disk, store, clock },
    random: () => Math.random(),
    place: (file, signal) =>
      Promise.resolve(
        openPlace(file, { fetch: (url, init) => fetch(url, init), xml, signal, answers, wall: clock.wall }),
      ),
    isFreeLink: () => ['wifi', 'ethernet'].includes((navigator as Linked).connection?.type ?? ''),
    wait: (ms, woken) =>
      new Promise((done) => {
        if (woken.aborted) done();
        const timer = setTimeout(done, ms);
        woken.addEventListener('abort', () => {
          clearTimeout(timer);
          done();
        });
      }),
  });
  addEventListener('online', () => keeper.hurry());
  await keeper.begin();
  return keeper;
}

/** Asks without being told the answer: it shows only that somebody is there. */
async function answers(url: string): Promise<boolean> {
  const quiet = { mode: 'no-cors', credentials: 'omit', cache: 'no-store', referrerPolicy: 'no-referrer' } as const;
  return fetch(url, quiet).then(
    () => true,
    () => false,
  );
}
