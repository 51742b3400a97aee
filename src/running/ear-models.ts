import type { ModelLibrary } from '../hearing/models/library.ts';
import type { StoredModel, UnfinishedDownload } from '../hearing/models/records.ts';
import type { ServedModel } from '../hearing/models/served.ts';
import { good, problemLine } from '../units/outcome.ts';
import type { Outcome } from '../units/outcome.ts';

export interface EarModelsParts {
  /** Called once, when the models are first asked for. */
  readonly open: () => Promise<ModelLibrary>;
  /** The models that the station serves beside the app. */
  readonly served: () => Promise<readonly ServedModel[]>;
  /** In bytes, where the browser tells. */
  readonly freeSpace: () => Promise<number | undefined>;
}

/** Work on the models; one at a time. */
interface ModelJob {
  readonly doing: string;
  /** Bytes so far, and in all, of a download. */
  readonly received?: number;
  readonly total?: number;
  readonly canCancel: boolean;
}

/** Everything that is shown of the models of this device. */
export interface EarModelsView {
  readonly models: readonly StoredModel[];
  readonly unfinished: readonly UnfinishedDownload[];
  /** Served by the station and not yet on this device. */
  readonly served: readonly ServedModel[];
  readonly free: number | undefined;
  readonly job: ModelJob | undefined;
  /** What the last work came to, in one line. */
  readonly done: string;
  readonly refused: string;
}

/** The models for the Vosk ear on this device. Work goes on when the screen that began it is left. */
export class EarModels {
  readonly #parts: EarModelsParts;
  readonly #watchers = new Set<() => void>();
  #library: Promise<ModelLibrary> | undefined;
  #cancel: AbortController | undefined;
  #view: EarModelsView = {
    models: [],
    unfinished: [],
    served: [],
    free: undefined,
    job: undefined,
    done: '',
    refused: '',
  };

  constructor(parts: EarModelsParts) {
    this.#parts = parts;
  }

  get view(): EarModelsView {
    return this.#view;
  }

  /** Calls back after each change, until the returned function is called. */
  watch(changed: () => void): () => void {
    this.#watchers.add(changed);
    return () => this.#watchers.delete(changed);
  }

  /** The models of this device; none where the browser lets the page keep nothing. */
  async list(): Promise<readonly StoredModel[]> {
    try {
      return await (await this.#opened()).list();
    } catch {
      return [];
    }
  }

  /** Reads everything anew. */
  async refresh(): Promise<void> {
    try {
      const library = await this.#opened();
      const [models, unfinished, served, free] = await Promise.all([
        library.list(),
        library.unfinished(),
        this.#parts.served(),
        this.#parts.freeSpace().catch(() => undefined),
      ]);
      const fresh = served.filter(({ sha256 }) => !models.some((model) => model.sha256 === sha256));
      this.#show({ models, unfinished, served: fresh, free });
    } catch {
      this.#show({ refused: 'This browser does not let the page keep models. The built-in ears need none.' });
    }
  }

  /** `sha256`: the publisher's checksum, if there is one. An unfinished download of the address is resumed. */
  download(url: string, sha256?: string): Promise<void> {
    return this.#add('Downloading', (library, signal) =>
      library.download(sha256 === undefined ? { url } : { url, sha256 }, {
        signal,
        onProgress: (received, total) => {
          const whole = received === total;
          this.#show({
            job: {
              doing: whole ? 'Checking' : 'Downloading',
              received,
              ...(total === undefined ? {} : { total }),
              canCancel: !whole,
            },
          });
        },
      }),
    );
  }

  addFile(file: File, sha256?: string): Promise<void> {
    return this.#add('Checking', (library) => library.addFile(file, file.name, sha256));
  }

  /** Stops a download; what has come is kept for resuming. */
  cancel(): void {
    this.#cancel?.abort();
  }

  verify(model: StoredModel): Promise<void> {
    return this.#work('Checking', false, async (library) => {
      const verified = await library.verify(model.id);
      return verified.ok ? good(`${model.name} is whole: its SHA-256 is still ${verified.value.sha256}.`) : verified;
    });
  }

  /** Removes a model or an unfinished download; `name` is told. */
  remove(id: string, name: string): Promise<void> {
    return this.#work('Removing', false, async (library) => {
      await library.remove(id);
      return good(`Removed: ${name}.`);
    });
  }

  #add(
    doing: string,
    take: (library: ModelLibrary, signal: AbortSignal) => Promise<Outcome<StoredModel>>,
  ): Promise<void> {
    return this.#work(doing, doing === 'Downloading', async (library, signal) => {
      const added = await take(library, signal);
      if (!added.ok) return added;
      return good(`Added: ${added.value.name}, SHA-256 ${added.value.sha256}. It also works offline.`);
    });
  }

  async #work(
    doing: string,
    canCancel: boolean,
    work: (library: ModelLibrary, signal: AbortSignal) => Promise<Outcome<string>>,
  ): Promise<void> {
    if (this.#view.job !== undefined) return;
    const cancel = new AbortController();
    this.#cancel = cancel;
    this.#show({ job: { doing, canCancel }, done: '', refused: '' });
    try {
      const result = await work(await this.#opened(), cancel.signal);
      this.#show(result.ok ? { done: result.value } : { refused: problemLine(result.problem) });
    } catch {
      this.#show({ refused: 'The browser refused to read or keep the model. Reload the page, then try again.' });
    }
    this.#show({ job: undefined });
    await this.refresh();
  }

  #opened(): Promise<ModelLibrary> {
    this.#library ??= this.#parts.open().catch((error: unknown) => {
      this.#library = undefined;
      throw error;
    });
    return this.#library;
  }

  #show(change: Partial<EarModelsView>): void {
    this.#view = { ...this.#view, ...change };
    for (const changed of this.#watchers) changed();
  }
}
