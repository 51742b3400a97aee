import type { ReactiveControllerHost } from 'lit';
import type { StartEvent } from '../../check/event.ts';
import { memoryStore } from '../../record/memory-store.ts';
import type { CheckHead } from '../../record/record-store.ts';
import type { Action } from '../../running/check-model.ts';
import type { Ear } from '../../running/ear.ts';
import type { DemoParts } from '../../running/demo-operator.ts';
import type { LiveCheck, LiveParts } from '../../running/live-check.ts';
import type { Settings } from '../../running/settings.ts';
import { problemLine } from '../../units/outcome.ts';
import type * as RunningCheck from '../check/running-check.ts';
import type { AppParts } from '../shell/app-parts.ts';
import { CLAIMED_ELSEWHERE } from '../shell/record-notices.ts';
import { FrameController } from './frame-controller.ts';
import { LitScreenController } from './lit-screen-controller.ts';

const NOT_FETCHED =
  'The check could not be fetched. Go online and load the page again; what is on the device is not touched.';
const WITHOUT_START = 'That check has no start in the record, so it cannot go on.';

/** However this device is set, the demo is heard. */
const DEMO_SETTINGS = { voice: true, talk: 'short', systemVoice: false, pushToTalk: false } as const;

interface CheckHost {
  readonly settings: () => Settings;
  readonly listen: (pushToTalk: boolean) => void;
  /** Sentences for the operator that are not of a check. */
  readonly notices: () => readonly string[];
}

/** The check that runs, and those that are kept. */
export class CheckController {
  readonly #host: ReactiveControllerHost;
  readonly #frames: FrameController;
  readonly #screen: LitScreenController;
  readonly #of: CheckHost;
  #live: LiveCheck | undefined;
  #watched = false;
  #id = '';
  #heads: readonly CheckHead[] = [];
  #notices: readonly string[] = [];

  constructor(host: ReactiveControllerHost, of: CheckHost) {
    this.#host = host;
    this.#of = of;
    this.#frames = new FrameController(host);
    this.#screen = new LitScreenController(host);
  }

  /** Undefined when none runs. */
  get live(): LiveCheck | undefined {
    return this.#live;
  }

  /** Id of the check that runs or has just ended; empty when it is the demo, which is not kept. */
  get id(): string {
    return this.#watched ? '' : this.#id;
  }

  /** It is the demo, which is only looked at. */
  get watched(): boolean {
    return this.#watched;
  }

  /** Newest first. */
  get heads(): readonly CheckHead[] {
    return this.#heads;
  }

  /** Everything that the operator is to know, besides the check itself. */
  get notices(): readonly string[] {
    return [...this.#of.notices(), ...this.#notices];
  }

  /** Fetches what a check needs to run, once; undefined, with a notice, when it cannot be had. */
  async running(): Promise<typeof RunningCheck | undefined> {
    const others = this.#notices.filter((line) => line !== NOT_FETCHED);
    try {
      const running = await import('../check/running-check.ts');
      this.#notices = others;
      return running;
    } catch {
      this.#notices = [...others, NOT_FETCHED];
      this.#host.requestUpdate();
      return undefined;
    }
  }

  /** Reads anew which checks are kept. */
  async load({ store }: Pick<AppParts, 'store'>): Promise<void> {
    this.#heads = await store.heads();
    this.#host.requestUpdate();
  }

  async begin(parts: AppParts, start: StartEvent): Promise<void> {
    const running = await this.running();
    const id = parts.newId();
    // A second press on Start while it was fetched.
    if (running === undefined || this.#live !== undefined) return;
    await parts.claims.take(id);
    this.#run(parts, running.LiveCheck.begin(this.#partsOf(parts, id, parts.ear(this.#of.settings)), start), false);
  }

  /** Goes on with a check that was cut off. */
  async resume(parts: AppParts, id: string): Promise<void> {
    const running = await this.running();
    if (running === undefined || !(await this.#claimed(parts, id))) return;
    const events = await parts.store.events(id);
    const live = running.LiveCheck.resume(this.#partsOf(parts, id, parts.ear(this.#of.settings)), events);
    if (live !== undefined) {
      this.#run(parts, live, false);
      return;
    }
    this.#notices = [...this.#notices, WITHOUT_START];
    await this.giveUp(parts, id);
  }

  /** Leaves a check that was cut off as it is: incomplete. */
  async giveUp(parts: AppParts, id: string): Promise<void> {
    const running = await this.running();
    if (running === undefined || !(await this.#claimed(parts, id))) return;
    const head = this.#heads.find((candidate) => candidate.id === id);
    const events = await parts.store.events(id);
    if (head !== undefined)
      await parts.store.close(
        events[0]?.type === 'start'
          ? running.givenUpHead(id, events[0], events)
          : { ...head, state: 'given-up', verdict: 'incomplete' },
      );
    parts.claims.release();
    await this.load(parts);
  }

  /**
   * A demo: a made-up operator, heard by the real ear and answered aloud. It is not kept among the checks of real rigs. Gives why it
   * cannot be, or undefined.
   */
  async watch(parts: AppParts, start: StartEvent): Promise<string | undefined> {
    const heard = (): Settings => ({ ...this.#of.settings(), ...DEMO_SETTINGS });
    const check = (): ReturnType<DemoParts['check']> => {
      const { model, live } = this.#live ?? {};
      return model === undefined || live === undefined
        ? undefined
        : { model, now: live.pulse.value.now, speaking: live.speaking };
    };
    const ear = await parts.demoEar(check, heard().volume);
    if (!ear.ok) return problemLine(ear.problem);
    const running = await this.running();
    if (running === undefined) return undefined;
    const { demoStart } = await import('../../running/demo-operator.ts');
    if (this.#live !== undefined) return undefined;
    const live = this.#partsOf(parts, `demo-${parts.newId()}`, ear.value);
    const apart = { speech: parts.speech(heard), settings: heard, store: memoryStore() };
    this.#run(parts, running.LiveCheck.begin({ ...live, ...apart }, demoStart(start)), true);
    return undefined;
  }

  act(action: Action, source: 'touch' | 'key'): void {
    this.#live?.act(action, source);
  }

  /** Ends the check that runs, or leaves what it came to. */
  async leave(parts: AppParts): Promise<void> {
    const live = this.#live;
    this.#live = undefined;
    this.#watched = false;
    this.#screen.letSleep();
    this.#host.requestUpdate();
    await live?.close();
    parts.claims.release();
    await this.load(parts);
  }

  /** False, with a notice, when another tab writes that check. */
  async #claimed(parts: AppParts, id: string): Promise<boolean> {
    const claimed = await parts.claims.take(id);
    const others = this.#notices.filter((line) => line !== CLAIMED_ELSEWHERE);
    this.#notices = claimed ? others : [...others, CLAIMED_ELSEWHERE];
    this.#host.requestUpdate();
    return claimed;
  }

  #partsOf(parts: AppParts, id: string, ear: Ear): LiveParts {
    const { store, language, steady, wall, every, wav, begun, speech } = parts;
    const { settings, listen } = this.#of;
    this.#id = id;
    return {
      ...{ id, ear, store, language, steady, wall, every, wav, settings, listen },
      ...(begun === undefined ? {} : { begun }),
      speech: speech(settings),
      onChange: () => this.#frames.drawSoon(),
      notices: () => this.notices,
    };
  }

  #run({ stayAwake }: AppParts, live: LiveCheck, watched: boolean): void {
    this.#live = live;
    this.#watched = watched;
    this.#screen.keep(stayAwake);
    this.#host.requestUpdate();
    void live.open();
  }
}
