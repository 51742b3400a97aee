import type { StoredModel } from '../hearing/models/records.ts';

/** An ear that a check could be heard by. */
export type EarOption =
  { readonly engine: 'embedded' } | { readonly engine: 'vosk'; readonly model: Pick<StoredModel, 'id' | 'name'> };

/**
 * The ears in the order in which they are tried: the one that was chosen, then those that take over when it fails.
 * `choice`: `auto` is the model that knows most of our words, and the embedded ear where there is no model; `embedded`;
 * or the id of a model, which counts as `auto` once that model is gone.
 */
export function earOrder(choice: string, models: readonly StoredModel[]): readonly EarOption[] {
  const byWords = [...models].sort((a, b) => a.missingWords.length - b.missingWords.length || b.bytes - a.bytes);
  const model = models.find(({ id }) => id === choice) ?? byWords[0];
  if (model === undefined) return [EMBEDDED];
  const vosk = { engine: 'vosk', model } as const;
  return choice === 'embedded' ? [EMBEDDED, vosk] : [vosk, EMBEDDED];
}

/** Every ear that is here: the embedded one, and the Vosk ear with each of its models. */
export function everyEar(models: readonly StoredModel[]): readonly EarOption[] {
  return [EMBEDDED, ...models.map((model) => ({ engine: 'vosk', model }) as const)];
}

const EMBEDDED = { engine: 'embedded' } as const;

/** An ear in words, as in "Heard by the embedded ear." */
export function earName(ear: EarOption): string {
  return ear.engine === 'embedded' ? 'the embedded ear' : `the Vosk ear with ${ear.model.name}`;
}
