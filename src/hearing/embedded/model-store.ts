import { problemLine, type Outcome } from '../../units/outcome.ts';
import { sha256 } from '../../units/sha256.ts';
import type { Progress } from '../port.ts';
import {
  checkModelFile,
  MANIFEST_NAME,
  missingModelFile,
  MODEL_FILES,
  readManifest,
  type ModelFileName,
  type ModelManifest,
} from './manifest.ts';

/** Where a model folder's files come from: a folder of the disk, or a web address. */
export interface ModelStore {
  /** The folder, for messages. */
  readonly where: string;
  /** Undefined when there is no such file. Rejects when it cannot be read for another reason (offline). */
  read(name: string, onBytes: (bytes: number) => void): Promise<Uint8Array<ArrayBuffer> | undefined>;
  /** An address that the engine's own reader opens to get exactly these bytes. */
  address(name: string, bytes: Uint8Array<ArrayBuffer>): string;
  /** Lets go of the addresses, once the engine has read them. */
  release(): void;
}

/** Addresses of checked model files, ready for the engine. */
export type ModelAddresses = Readonly<Record<ModelFileName, string>>;

/**
 * Reads and checks every file of the model before the engine sees any: the engine itself ends in an abort, or in
 * nonsense results, on a file that is cut short. Rejects with the problem's one line.
 */
export async function fetchModel(store: ModelStore, onProgress: Progress): Promise<ModelAddresses> {
  const manifest = orThrow(
    readManifest(new TextDecoder().decode(await present(store, MANIFEST_NAME, () => {})), store.where),
  );
  const total = manifest.files.reduce((sum, file) => sum + file.bytes, 0);
  let done = 0;
  const onBytes = (bytes: number): void => {
    done += bytes;
    onProgress(Math.min(1, done / total));
  };
  const pairs = await Promise.all(
    MODEL_FILES.map(async (name) => [name, await checkedAddress(store, manifest, name, onBytes)] as const),
  );
  return Object.fromEntries(pairs) as Record<ModelFileName, string>;
}

async function checkedAddress(
  store: ModelStore,
  manifest: ModelManifest,
  name: ModelFileName,
  onBytes: (bytes: number) => void,
): Promise<string> {
  const bytes = await present(store, name, onBytes);
  orThrow(checkModelFile(manifest, name, bytes.length, await sha256(bytes), store.where));
  return store.address(name, bytes);
}

async function present(
  store: ModelStore,
  name: string,
  onBytes: (bytes: number) => void,
): Promise<Uint8Array<ArrayBuffer>> {
  const bytes = await store.read(name, onBytes);
  return bytes ?? orThrow(missingModelFile(name, store.where));
}

function orThrow<T>(outcome: Outcome<T>): T {
  if (outcome.ok) return outcome.value;
  throw new Error(problemLine(outcome.problem));
}
