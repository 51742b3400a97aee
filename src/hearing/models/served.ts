import * as v from 'valibot';

const Index = v.object({
  models: v.array(
    v.object({
      /** File name beside the index, and nothing else: an index that names another place is none. */
      file: v.pipe(v.string(), v.regex(/^\w[\w.-]*$/)),
      name: v.string(),
      bytes: v.number(),
      sha256: v.string(),
    }),
  ),
});

/** What a station serves: `models/index.json`, written by `npm run model`. */
export type ServedIndex = v.InferOutput<typeof Index>;

/** A model that the station serves beside the app; `url` is absolute. */
export interface ServedModel {
  readonly name: string;
  readonly url: string;
  readonly bytes: number;
  readonly sha256: string;
}

export const SERVED_INDEX = 'index.json';

/** Undefined when it is not an index: many servers answer with the start page where there is none. */
export function readServedIndex(text: string): ServedIndex | undefined {
  const parsed = v.safeParse(v.pipe(v.string(), v.parseJson(), Index), text);
  return parsed.success ? parsed.output : undefined;
}

/** The models in a folder of the server, usually `models/` beside the page; none when it has none or cannot be reached. */
export async function servedModels(folder: URL, fetch: typeof globalThis.fetch): Promise<readonly ServedModel[]> {
  const response = await fetch(new URL(SERVED_INDEX, folder)).catch(() => undefined);
  if (response?.ok !== true) return [];
  const index = readServedIndex(await response.text());
  return (index?.models ?? []).map(({ file, ...facts }) => ({ ...facts, url: new URL(file, folder).href }));
}
