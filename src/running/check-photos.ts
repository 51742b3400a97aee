import type { CheckEvent, PhotoEvent } from '../check/event.ts';
import { photosOf, tooMany } from '../check/photos.ts';
import { keptAs } from '../record/named-clip.ts';
import type { RecordStore } from '../record/record-store.ts';
import type { Ms } from '../units/time.ts';
import type { Action, PhotosModel } from './check-model.ts';

const TOO_LATE = 'The check is over and sealed: it takes no more photos, and gives none back.';
const NOT_KEPT = 'There is no room for this photo on the device: it is not kept. The check goes on.';

/** What photos need of the check that they belong to. */
interface PhotoParts {
  readonly check: string;
  readonly store: Pick<RecordStore, 'keepClip' | 'clip' | 'dropClip'>;
  /** ISO 8601. */
  readonly wall: () => string;
  readonly now: () => Ms;
  /** Nothing more comes into its log. */
  readonly isOver: () => boolean;
  /** Resolves when the event is in the log. */
  readonly keep: (event: CheckEvent) => Promise<void>;
  readonly onChange: (photos: PhotosModel) => void;
}

/** The photos of a check that runs: each is in the record before its log names it, or refused in one line. */
export class CheckPhotos {
  readonly #parts: PhotoParts;
  #model: PhotosModel;
  #count: number;
  #turn: Promise<void> = Promise.resolve();

  /** `earlier`: what was kept of the check before this page. */
  constructor(parts: PhotoParts, earlier: readonly CheckEvent[]) {
    this.#parts = parts;
    this.#count = earlier.filter(({ type }) => type === 'photo').length;
    this.#model = {
      taken: photosOf(earlier),
      picture: async (id) => (await parts.store.clip(id).catch(() => undefined))?.wav,
    };
  }

  get model(): PhotosModel {
    return this.#model;
  }

  /** Takes a photo, or takes one back; one after the other. Resolves when it is done, or refused. */
  act(action: Extract<Action, { do: 'photo' | 'photo-back' }>): Promise<void> {
    this.#turn = this.#turn.then(async () => {
      const { taken, picture } = this.#model;
      const result = action.do === 'photo' ? await this.#take(action) : await this.#takeBack(action);
      const trouble = typeof result === 'string' ? { trouble: { item: action.item, line: result } } : {};
      this.#model = { taken: typeof result === 'string' ? taken : result, picture, ...trouble };
      this.#parts.onChange(this.#model);
    });
    return this.#turn;
  }

  /** The photos that there are then, or why it is not taken. */
  async #take({ item, picture }: Extract<Action, { do: 'photo' }>): Promise<readonly PhotoEvent[] | string> {
    const { check, store, wall, now, isOver, keep } = this.#parts;
    const { taken } = this.#model;
    const refused = isOver() ? TOO_LATE : tooMany(taken, item);
    if (refused !== undefined) return refused;
    const clip = `${check}-photo-${(this.#count += 1)}`;
    await store
      .keepClip({ id: clip, check, kept: keptAs('photo', Date.parse(wall())), wav: picture })
      .catch(() => undefined);
    // A store that gives way when the disk is full does not say so: it is looked for.
    if ((await store.clip(clip).catch(() => undefined)) === undefined) return NOT_KEPT;
    if (isOver()) {
      await store.dropClip(clip).catch(() => undefined);
      return TOO_LATE;
    }
    const event = { type: 'photo' as const, at: now(), item, clip };
    await keep(event);
    return [...taken, event];
  }

  async #takeBack({ clip }: Extract<Action, { do: 'photo-back' }>): Promise<readonly PhotoEvent[] | string> {
    const { store, now, isOver, keep } = this.#parts;
    if (isOver()) return TOO_LATE;
    await keep({ type: 'photo-back', at: now(), clip });
    await store.dropClip(clip).catch(() => undefined);
    return this.#model.taken.filter((photo) => photo.clip !== clip);
  }
}
