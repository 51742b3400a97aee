import { VOICE_FILES } from '../../answering/voice-pack.ts';
import { bad, good, type Outcome } from '../../units/outcome.ts';

/** What this device keeps, so that the app runs without a network. */
export interface Kept {
  /** `unable`: the address is not secure, or the browser keeps no pages. */
  readonly app: 'getting' | 'kept' | 'unable';
  /** All that the app keeps in this browser, with its records, in bytes; undefined where the browser does not tell. */
  readonly bytes: number | undefined;
  /** The browser has promised to keep it when storage is short. */
  readonly promised: boolean;
  /** The synthesiser, for words of the department's own. */
  readonly ownWords: boolean;
  /** Runs as an installed app. */
  readonly installed: boolean;
  /** Safari on iOS and iPadOS, which deletes what a page keeps after seven days without a visit, unless it is installed. */
  readonly sevenDays: boolean;
}

/** Keeps the app on the device, and tells how far that has come. */
export interface Offline {
  read(): Promise<Kept>;
  /** Fetches the synthesiser and keeps it. */
  keepOwnWords(): Promise<Outcome<void>>;
}

/** What is kept on request lies here; the service worker answers from it. Named so in `vite.config.ts` as well. */
const ON_REQUEST = 'on-request';

/** `base`: the address of the app. */
export function browserOffline(base: URL): Offline {
  const synthesiser = new URL(`voice/${VOICE_FILES.synthesiser}`, base).href;
  // Absent outside https and localhost, whatever the types say.
  const { serviceWorker, storage } = navigator as Partial<Navigator>;
  const store = (globalThis as Partial<WindowOrWorkerGlobalScope>).caches;
  return {
    async read() {
      const active = (await serviceWorker?.getRegistration())?.active;
      const usage = await storage?.estimate().catch(() => undefined);
      return {
        app: serviceWorker === undefined ? 'unable' : active?.state === 'activated' ? 'kept' : 'getting',
        bytes: usage?.usage,
        promised: (await storage?.persisted().catch(() => false)) ?? false,
        ownWords: (await store?.match(synthesiser, { cacheName: ON_REQUEST })) !== undefined,
        installed: matchMedia('(display-mode: standalone)').matches,
        sevenDays: 'standalone' in navigator,
      };
    },
    async keepOwnWords() {
      try {
        const response = await fetch(synthesiser);
        if (!response.ok || store === undefined) throw new Error(String(response.status));
        const cache = await store.open(ON_REQUEST);
        await cache.put(synthesiser, response);
        return good(undefined);
      } catch {
        return bad('The synthesiser could not be fetched and kept.', undefined, 'Go online, make room, and try again.');
      }
    },
  };
}
