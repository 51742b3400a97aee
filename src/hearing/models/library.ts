import { bad, good } from '../../units/outcome.ts';
import type { Outcome } from '../../units/outcome.ts';
import { sha256 } from '../../units/sha256.ts';
import { download } from './download.ts';
import type { DownloadHost, DownloadWatch } from './download.ts';
import { inspectModel } from './inspect.ts';
import type { NeededWords } from './inspect.ts';
import { megabytes } from './megabytes.ts';
import {
  assemble,
  pieceKey,
  readDownloads,
  readModels,
  removeAll,
  removeDownload,
  sweep,
  writeModel,
} from './records.ts';
import type { StoredModel, UnfinishedDownload } from './records.ts';
import { isFull } from './shelf.ts';
import type { Shelf } from './shelf.ts';

/**
 * The models that this device keeps for the vosk engine. A new one is stored beside the old ones and listed only once it is
 * whole and checked, so that whatever goes wrong, the models listed before stay usable.
 */
export interface ModelLibrary {
  list(): Promise<readonly StoredModel[]>;
  unfinished(): Promise<readonly UnfinishedDownload[]>;
  /** Downloads (or resumes), checks and stores. `sha256`: the publisher's checksum, if there is one, in hex. */
  download(
    request: { readonly url: string; readonly sha256?: string },
    watch?: DownloadWatch,
  ): Promise<Outcome<StoredModel>>;
  /** Checks and stores an archive that the user chose. `name` is its file name. */
  addFile(archive: Blob, name: string, sha256?: string): Promise<Outcome<StoredModel>>;
  /** The archive, for the engine. */
  open(id: string): Promise<Outcome<Blob>>;
  /** Reads the whole archive again and compares its checksum. */
  verify(id: string): Promise<Outcome<StoredModel>>;
  /** Removes a model or an unfinished download. */
  remove(id: string): Promise<void>;
}

/** Clears away what an interrupted visit left behind, then serves the models on `shelf`. */
export async function openModelLibrary(shelf: Shelf, host: DownloadHost, needed: NeededWords): Promise<ModelLibrary> {
  await sweep(shelf);

  /** Whatever is not kept in the end is removed again. */
  const keep = async (
    id: string,
    pieces: readonly string[],
    source: string,
    expected?: string,
  ): Promise<Outcome<StoredModel>> => {
    const kept = await withRoom(source, () => check(id, pieces, source, expected));
    if (!kept.ok || kept.value.id !== id) await removeAll(shelf, id);
    return kept;
  };

  const check = async (
    id: string,
    pieces: readonly string[],
    source: string,
    expected?: string,
  ): Promise<Outcome<StoredModel>> => {
    const archive = await assemble(shelf, pieces);
    if (archive === undefined) return bad('The browser has thrown away part of the model.', source, 'Add it again.');
    const digest = await digestOf(archive);
    if (expected !== undefined && expected.toLowerCase() !== digest) {
      return bad(
        `The checksum does not match: expected ${expected.toLowerCase()}, got ${digest}.`,
        source,
        'Download it again.',
      );
    }
    const report = await inspectModel(archive, source, needed);
    if (!report.ok) return report;
    const same = (await readModels(shelf)).find((model) => model.sha256 === digest);
    if (same !== undefined && (await assemble(shelf, same.pieces)) !== undefined) return good(same);
    const { name, vocabulary, missingWords, takesPhrases, rejectsOtherSpeech } = report.value;
    const facts = { name, vocabulary, missingWords: [...missingWords], takesPhrases, rejectsOtherSpeech };
    const model: StoredModel = { id, source, bytes: archive.size, sha256: digest, ...facts, pieces: [...pieces] };
    await writeModel(shelf, model);
    await removeDownload(shelf, id);
    return good(model);
  };

  return {
    list: () => readModels(shelf),
    unfinished: () => readDownloads(shelf),
    async download(request, watch = {}) {
      const fetched = await download(shelf, request, host, watch);
      if (!fetched.ok) return fetched;
      return keep(fetched.value.id, fetched.value.pieces, request.url, request.sha256);
    },
    async addFile(archive, name, sha256) {
      // Checked before it is stored: a file of 2 GB is refused without being copied.
      const report = await inspectModel(archive, name, needed);
      if (!report.ok) return report;
      const free = await host.freeSpace();
      if (free !== undefined && free < archive.size) {
        return bad(
          `There is not enough room: ${megabytes(archive.size)} needed, ${megabytes(free)} free.`,
          name,
          'Free some space, then try again.',
        );
      }
      const id = host.newId();
      const piece = pieceKey(id, 0);
      const stored = await withRoom(name, async () => {
        await shelf.put(piece, archive);
        return good(piece);
      });
      return stored.ok ? keep(id, [piece], name, sha256) : stored;
    },
    async open(id) {
      const opened = await archiveOf(shelf, id);
      return opened.ok ? good(opened.value.archive) : opened;
    },
    async verify(id) {
      const opened = await archiveOf(shelf, id);
      if (!opened.ok) return opened;
      const { model, archive } = opened.value;
      if ((await digestOf(archive)) === model.sha256) return good(model);
      return bad('The stored model is damaged.', model.name, 'Remove it and add it again.');
    },
    remove: (id) => removeAll(shelf, id),
  };
}

/** A listed model with its archive. */
export async function archiveOf(shelf: Shelf, id: string): Promise<Outcome<{ model: StoredModel; archive: Blob }>> {
  const model = (await readModels(shelf)).find((each) => each.id === id);
  if (model === undefined) return bad('There is no such model on this device.', id, 'Choose another, or add it again.');
  const archive = await assemble(shelf, model.pieces);
  if (archive === undefined) {
    return bad('The browser has thrown away part of the model.', model.name, 'Remove it and add it again.');
  }
  return good({ model, archive });
}

/** Turns a full disk into a problem. */
async function withRoom<T>(where: string, store: () => Promise<Outcome<T>>): Promise<Outcome<T>> {
  try {
    return await store();
  } catch (error) {
    if (!isFull(error)) throw error;
    return bad('The disk is full: the model was not stored.', where, 'Free some space, then try again.');
  }
}

async function digestOf(archive: Blob): Promise<string> {
  return sha256(new Uint8Array(await archive.arrayBuffer()));
}
