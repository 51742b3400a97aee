import type { ReactiveControllerHost } from 'lit';
import type { Place } from '../shell/places.ts';

/** Screens that are not needed to begin a check, each in a file of its own that is fetched when it is first shown. */
const SCREENS = {
  /** Of a check; the app fetches it as soon as the first screen is there. */
  end: () => import('../check/end-screen.ts'),
  /** Of an examination. */
  exam: () => import('../exam/exam.ts'),
  /** Of the last report, before a check. */
  review: () => import('../review/review-screen.ts'),
  logs: () => import('../logs/logs-screen.ts'),
  rehearse: () => import('../rehearse/rehearse-screen.ts'),
  rigs: () => import('../rigs/rigs-screen.ts'),
} as const satisfies Partial<Record<Place['name'] | 'end' | 'exam' | 'review', () => Promise<unknown>>>;

export type LaterScreen = keyof typeof SCREENS;

/** Fetches the screens that are not there from the beginning. */
export class ScreensController {
  readonly #host: ReactiveControllerHost;
  readonly #here = new Set<LaterScreen>();
  readonly #coming = new Map<LaterScreen, Promise<void>>();
  #missed: LaterScreen | undefined;

  constructor(host: ReactiveControllerHost) {
    this.#host = host;
  }

  /** `coming` begins to fetch it, if nobody has. */
  state(name: LaterScreen): 'here' | 'coming' | 'missed' {
    if (this.#here.has(name)) return 'here';
    if (this.#missed === name) return 'missed';
    void this.come(name);
    return 'coming';
  }

  /** Resolves when the screen is there, or could not be fetched. */
  async come(name: LaterScreen): Promise<void> {
    const coming = this.#coming.get(name) ?? this.#fetch(name);
    this.#coming.set(name, coming);
    await coming;
  }

  async #fetch(name: LaterScreen): Promise<void> {
    this.#missed = undefined;
    try {
      await SCREENS[name]();
      this.#here.add(name);
    } catch {
      // Without network, before the app was kept for offline use; or a newer build has taken the place of this one.
      this.#missed = name;
      this.#coming.delete(name);
    }
    this.#host.requestUpdate();
  }
}
