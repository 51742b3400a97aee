import * as v from 'valibot';
import type { Shelf } from './shelf.ts';

const Model = v.object({
  id: v.string(),
  /** Name of the model's folder. */
  name: v.string(),
  /** Where it came from: an address or a file name. */
  source: v.string(),
  bytes: v.number(),
  /** Of the whole archive, lower-case hex. */
  sha256: v.string(),
  vocabulary: v.number(),
  missingWords: v.array(v.string()),
  takesPhrases: v.boolean(),
  rejectsOtherSpeech: v.boolean(),
  pieces: v.array(v.string()),
});

/** A checked model on the shelf. Its record is written last, so a model that is listed is whole. */
export type StoredModel = Readonly<v.InferOutput<typeof Model>>;

const Download = v.object({
  id: v.string(),
  url: v.string(),
  /** Checksum asked for, lower-case hex. */
  sha256: v.optional(v.string()),
  /** ETag or Last-Modified: tells whether the server still has the same file. Without it nothing can be resumed. */
  validator: v.optional(v.string()),
  total: v.optional(v.number()),
  received: v.number(),
  pieces: v.array(v.string()),
});

/** A download that was cancelled or broke off; it can be resumed or removed. */
export type UnfinishedDownload = Readonly<v.InferOutput<typeof Download>>;

const MODELS = 'model/';
const DOWNLOADS = 'part/';
const BYTES = 'bytes/';

export const pieceKey = (id: string, index: number): string => `${BYTES}${id}/${String(index).padStart(5, '0')}`;

export function readModels(shelf: Shelf): Promise<StoredModel[]> {
  return readAll(shelf, MODELS, Model);
}

export function readDownloads(shelf: Shelf): Promise<UnfinishedDownload[]> {
  return readAll(shelf, DOWNLOADS, Download);
}

export function writeModel(shelf: Shelf, model: StoredModel): Promise<void> {
  return shelf.put(`${MODELS}${model.id}.json`, json(model));
}

export function writeDownload(shelf: Shelf, download: UnfinishedDownload): Promise<void> {
  return shelf.put(`${DOWNLOADS}${download.id}.json`, json(download));
}

/** The download is over; its pieces stay. */
export function removeDownload(shelf: Shelf, id: string): Promise<void> {
  return shelf.remove(`${DOWNLOADS}${id}.json`);
}

/** Removes everything that belongs to an id: first what makes it visible, then its bytes. */
export async function removeAll(shelf: Shelf, id: string): Promise<void> {
  await shelf.remove(`${MODELS}${id}.json`);
  await removeDownload(shelf, id);
  for (const key of await shelf.keys()) if (key.startsWith(`${BYTES}${id}/`)) await shelf.remove(key);
}

/** Removes bytes that belong to nothing any more, as a killed page leaves them. */
export async function sweep(shelf: Shelf): Promise<void> {
  const owners = [...(await readModels(shelf)), ...(await readDownloads(shelf))].map(({ id }) => `${BYTES}${id}/`);
  for (const key of await shelf.keys()) {
    if (key.startsWith(BYTES) && !owners.some((owner) => key.startsWith(owner))) await shelf.remove(key);
  }
}

/** The pieces of a model or download as one blob; undefined when the browser has thrown some away. */
export async function assemble(shelf: Shelf, keys: readonly string[]): Promise<Blob | undefined> {
  const pieces: Blob[] = [];
  for (const key of keys) {
    const piece = await shelf.get(key);
    if (piece === undefined) return undefined;
    pieces.push(piece);
  }
  return new Blob(pieces);
}

function json(value: unknown): Blob {
  return new Blob([JSON.stringify(value)], { type: 'application/json' });
}

/** Records of an older or newer form are left alone and not listed. */
async function readAll<Schema extends v.GenericSchema>(
  shelf: Shelf,
  prefix: string,
  schema: Schema,
): Promise<v.InferOutput<Schema>[]> {
  const records: v.InferOutput<Schema>[] = [];
  for (const key of [...(await shelf.keys())].filter((each) => each.startsWith(prefix)).sort()) {
    const parsed = v.safeParse(v.pipe(v.string(), v.parseJson(), schema), await (await shelf.get(key))?.text());
    if (parsed.success) records.push(parsed.output);
  }
  return records;
}
