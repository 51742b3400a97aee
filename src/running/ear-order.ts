import type { StoredModel } from '../hearing/models/records.ts';

/** An ear that a check could be heard by: the Vosk engine without `model` hears with the app's own. */
export type EarOption =
  | { readonly engine: 'embedded' }
  | { readonly engine: 'vosk'; readonly model?: Pick<StoredModel, 'id' | 'name'> };

const OWN = { engine: 'vosk' } as const;
const EMBEDDED = { engine: 'embedded' } as const;

/**
 * The ears in the order in which they are tried: the one that was chosen, then those that take over when it fails.
 * `choice`: `auto` is the app's own model, whatever models were added; `embedded`; or the id of an added model, which counts as
 * `auto` once that model is gone.
 */
export function earOrder(choice: string, models: readonly StoredModel[]): readonly EarOption[] {
  if (choice === 'embedded') return [EMBEDDED, OWN];
  const model = models.find(({ id }) => id === choice);
  return model === undefined ? [OWN, EMBEDDED] : [{ engine: 'vosk', model }, OWN, EMBEDDED];
}

/** Every ear that is here: the app's own, the embedded one, and the Vosk engine with each added model. */
export function everyEar(models: readonly StoredModel[]): readonly EarOption[] {
  return [OWN, EMBEDDED, ...models.map((model) => ({ engine: 'vosk', model }) as const)];
}

/** An ear in words, as in "Heard by the embedded ear." */
export function earName(ear: EarOption): string {
  if (ear.engine === 'embedded') return 'the embedded ear';
  return ear.model === undefined ? 'the Two Needles ear' : `the Vosk ear with ${ear.model.name}`;
}
