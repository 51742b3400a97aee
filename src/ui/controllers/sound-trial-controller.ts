import type { ReactiveController, ReactiveControllerHost } from 'lit';
import type { NamedMicrophone } from '../../hearing/microphone-list.ts';
import type { Ear } from '../../running/ear.ts';
import type { Language } from '../../running/language.ts';
import { Pulse } from '../../running/pulse.ts';
import type { SoundTrial, SoundTrialView } from '../../running/sound-trial.ts';
import type { SoundTrialModel } from '../start/start-model.ts';

interface TrialParts {
  readonly ear: Ear;
  readonly language: Language;
  readonly microphones: () => Promise<readonly NamedMicrophone[]>;
}

const NOT_FETCHED = 'The sound check could not be fetched. The check itself goes on without it.';

/** Tries the microphone before a check. */
export class SoundTrialController implements ReactiveController {
  readonly #host: ReactiveControllerHost;
  #trial: SoundTrial | undefined;
  #begun = 0;
  #model: SoundTrialModel = {
    state: 'idle',
    line: '',
    microphones: [],
    pulse: new Pulse<SoundTrialView | undefined>(undefined),
  };

  constructor(host: ReactiveControllerHost) {
    this.#host = host;
    host.addController(this);
  }

  get model(): SoundTrialModel {
    return this.#model;
  }

  /** From its beginning, also while another one runs. */
  async begin({ ear, language, microphones }: TrialParts): Promise<void> {
    await this.end();
    const run = (this.#begun += 1);
    this.#show({ state: 'starting', line: '' });
    const fetched = await import('../../running/sound-trial.ts').catch(() => undefined);
    if (run !== this.#begun) return;
    if (fetched === undefined) {
      this.#show({ state: 'unavailable', line: NOT_FETCHED });
      return;
    }
    const trial = new fetched.SoundTrial(ear, language, {
      state: (state, line) => {
        if (this.#trial !== trial || this.#model.state === 'done') return;
        const { state: before } = this.#model;
        // An ear that gets ready meanwhile brings no microphone back; sound does.
        if (before === 'unavailable' && state === 'starting') return;
        this.#show({ line, state: state === 'unavailable' ? state : before === 'unavailable' ? 'starting' : before });
      },
      changed: (view) => {
        if (this.#trial !== trial || this.#model.state === 'done') return;
        this.#model.pulse.beat(view);
        if (view.stage === 'measured' && view.understood !== 'waiting') {
          this.#trial = undefined;
          this.#show({ state: 'done' });
          void trial.close();
        } else if (this.#model.state !== 'running') {
          this.#show({ state: 'running' });
          void microphones().then((found) => this.#show({ microphones: found }));
        }
      },
    });
    this.#trial = trial;
    await trial.open();
  }

  async end(): Promise<void> {
    const trial = this.#trial;
    this.#trial = undefined;
    this.#begun += 1;
    this.#model.pulse.beat(undefined);
    this.#show({ state: 'idle', line: '' });
    await trial?.close();
  }

  hostDisconnected(): void {
    void this.end();
  }

  #show(change: Partial<SoundTrialModel>): void {
    this.#model = { ...this.#model, ...change };
    this.#host.requestUpdate();
  }
}
