import { mkdir, readFile, rename, rm, writeFile } from 'node:fs/promises';
import { join } from 'node:path';
import type { StoredModel } from '../hearing/models/records.ts';
import { readServedIndex, SERVED_INDEX } from '../hearing/models/served.ts';
import type { ServedIndex } from '../hearing/models/served.ts';

/** The index of a folder of models; empty when there is none yet. */
export async function servedIndex(folder: string): Promise<ServedIndex> {
  const text = await readFile(join(folder, SERVED_INDEX), 'utf8').catch(() => '');
  return readServedIndex(text) ?? { models: [] };
}

/**
 * Puts a checked archive into a folder that the app is served from, and into its index; returns the file name.
 * An older file of the same model name is replaced, at the last moment.
 */
export async function serveModel(folder: string, model: StoredModel, archive: Blob): Promise<string> {
  // Not `.tar.gz`: many servers announce `.gz` as transport encoding, and the browser then unpacks it on the way.
  const file = `${model.name.replaceAll(/[^\w.-]/g, '-')}.${(await isZip(archive)) ? 'zip' : 'tgz'}`;
  await mkdir(folder, { recursive: true });
  await replaceFile(join(folder, file), Buffer.from(await archive.arrayBuffer()));
  const before = await servedIndex(folder);
  const models = before.models.filter((each) => each.name !== model.name);
  models.push({ file, name: model.name, bytes: model.bytes, sha256: model.sha256 });
  const index: ServedIndex = { models };
  await replaceFile(join(folder, SERVED_INDEX), `${JSON.stringify(index, null, 2)}\n`);
  for (const old of before.models) {
    if (old.name === model.name && old.file !== file) await rm(join(folder, old.file), { force: true });
  }
  return file;
}

async function isZip(archive: Blob): Promise<boolean> {
  return (await archive.slice(0, 2).text()) === 'PK';
}

async function replaceFile(path: string, content: Uint8Array | string): Promise<void> {
  await writeFile(`${path}.writing`, content);
  await rename(`${path}.writing`, path);
}
