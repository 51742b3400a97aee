import type { ReactiveController, ReactiveControllerHost } from 'lit';
import type { Ear } from '../../running/ear.ts';
import { problemLine } from '../../units/outcome.ts';
import type { AppParts } from '../shell/app-parts.ts';
import type { StartModel } from '../start/start-model.ts';

const READY: StartModel['demo'] = {
  state: 'ready',
  line: 'A made-up operator goes through a whole check. What you see is what the tool hears and measures, faster than it was spoken.',
};

/** The demo recording, while it is loaded. */
export class DemoController implements ReactiveController {
  readonly #host: ReactiveControllerHost;
  #cancel: AbortController | undefined;
  #model = READY;

  constructor(host: ReactiveControllerHost) {
    this.#host = host;
    host.addController(this);
  }

  get model(): StartModel['demo'] {
    return this.#model;
  }

  cancel(): void {
    this.#cancel?.abort();
    this.#show(READY);
  }

  /** The recording as an ear; undefined when it was cancelled, or cannot be had, which is then said. */
  async load(demoEar: AppParts['demoEar']): Promise<Ear | undefined> {
    this.#cancel?.abort();
    const cancel = (this.#cancel = new AbortController());
    const loading = { state: 'loading', line: 'Loading the recording and the ear.' } as const;
    this.#show({ ...loading, progress: 0 });
    const ear = await demoEar((progress) => {
      if (!cancel.signal.aborted) this.#show({ ...loading, progress });
    }, cancel.signal);
    if (cancel.signal.aborted) return undefined;
    this.#show(ear.ok ? READY : { state: 'ready', line: problemLine(ear.problem) });
    return ear.ok ? ear.value : undefined;
  }

  hostDisconnected(): void {
    this.#cancel?.abort();
  }

  #show(model: StartModel['demo']): void {
    this.#model = model;
    this.#host.requestUpdate();
  }
}
