import type { ReactiveController, ReactiveControllerHost } from 'lit';
import type { SoundReport } from '../../hearing/sound-watch.ts';
import type { Ear } from '../../running/ear.ts';
import { Pulse } from '../../running/pulse.ts';

/** Tries the microphone before a check. */
export class SoundTrialController implements ReactiveController {
  readonly #host: ReactiveControllerHost;
  #ear: Ear | undefined;
  #state: 'idle' | 'starting' | 'running' = 'idle';
  #line = 'Try the microphone before the first check.';
  /** How the sound is, every 100 ms of it. */
  readonly pulse = new Pulse<SoundReport | undefined>(undefined);

  constructor(host: ReactiveControllerHost) {
    this.#host = host;
    host.addController(this);
  }

  get state(): 'idle' | 'starting' | 'running' {
    return this.#state;
  }

  /** Which ear would listen, or why none can. */
  get line(): string {
    return this.#line;
  }

  async begin(ear: Ear): Promise<void> {
    this.#ear = ear;
    this.#show('starting');
    await ear.open({
      heard: () => Promise.resolve(),
      progress: () => Promise.resolve(),
      end: () => undefined,
      level: (sound) => this.pulse.beat(sound),
      state: (state, line) => {
        if (this.#ear !== ear) return;
        this.#line = line;
        this.#show(state === 'listening' ? 'running' : state === 'unavailable' ? 'idle' : this.#state);
      },
    });
  }

  async end(): Promise<void> {
    const ear = this.#ear;
    this.#ear = undefined;
    this.#show('idle');
    this.pulse.beat(undefined);
    await ear?.close();
  }

  hostDisconnected(): void {
    void this.end();
  }

  #show(state: 'idle' | 'starting' | 'running'): void {
    this.#state = state;
    this.#host.requestUpdate();
  }
}
