import { mkdir, readdir, readFile, rename, rm, stat, writeFile } from 'node:fs/promises';
import { join } from 'node:path';
import { sha256 } from '../../units/sha256.ts';
import { inspectModel } from '../../hearing/models/inspect.ts';
import type { NeededWords } from '../../hearing/models/inspect.ts';
import { readServedIndex, SERVED_INDEX } from '../../hearing/models/served.ts';
import type { ServedIndex } from '../../hearing/models/served.ts';
import type { Problem } from '../../units/outcome.ts';
import { readArchive } from './read-archive.ts';

/** What the index says of a model. */
interface ModelFacts {
  readonly name: string;
  readonly bytes: number;
  readonly sha256: string;
}

/** The index of a folder of models; empty when there is none yet. */
export async function servedIndex(folder: string): Promise<ServedIndex> {
  const text = await readFile(join(folder, SERVED_INDEX), 'utf8').catch(() => '');
  return readServedIndex(text) ?? { models: [] };
}

/**
 * Puts a checked archive into a folder that the app is served from, and into its index; returns the file name.
 * An older file of the same model name is replaced, at the last moment.
 */
export async function serveModel(folder: string, model: ModelFacts, archive: Blob): Promise<string> {
  // Not `.tar.gz`: many servers announce `.gz` as transport encoding, and the browser then unpacks it on the way.
  const file = `${model.name.replaceAll(/[^\w.-]/g, '-')}.${(await isZip(archive)) ? 'zip' : 'tgz'}`;
  await mkdir(folder, { recursive: true });
  await replaceFile(join(folder, file), Buffer.from(await archive.arrayBuffer()));
  const before = await servedIndex(folder);
  const models = before.models.filter((each) => each.name !== model.name);
  models.push({ file, name: model.name, bytes: model.bytes, sha256: model.sha256 });
  await writeIndex(folder, { models });
  for (const old of before.models) {
    if (old.name === model.name && old.file !== file) await rm(join(folder, old.file), { force: true });
  }
  return file;
}

/**
 * Brings the index in line with the folder: archives that somebody put there by hand are checked and taken in, entries whose
 * file is gone or has changed are dropped. Returns what was refused; those files stay where they are.
 */
export async function adoptArchives(folder: string, needed: NeededWords): Promise<readonly Problem[]> {
  const index = await servedIndex(folder);
  const models: ServedIndex['models'] = [];
  for (const model of index.models) {
    const facts = await stat(join(folder, model.file)).catch(() => undefined);
    if (facts?.size === model.bytes) models.push(model);
  }
  if (models.length < index.models.length) await writeIndex(folder, { models });
  const names = (await readdir(folder).catch(() => [])).filter((name) => /\.(tar\.gz|tgz|zip)$/.test(name)).sort();
  const refused: Problem[] = [];
  for (const name of names.filter((each) => !models.some(({ file }) => file === each))) {
    const archive = await readArchive(join(folder, name));
    const report = archive.ok ? await inspectModel(archive.value, join(folder, name), needed) : archive;
    if (!archive.ok || !report.ok) {
      if (!report.ok) refused.push(report.problem);
      continue;
    }
    const digest = await sha256(new Uint8Array(await archive.value.arrayBuffer()));
    const facts = { name: report.value.name, bytes: archive.value.size, sha256: digest };
    if ((await serveModel(folder, facts, archive.value)) !== name) await rm(join(folder, name));
  }
  return refused;
}

async function isZip(archive: Blob): Promise<boolean> {
  return (await archive.slice(0, 2).text()) === 'PK';
}

function writeIndex(folder: string, index: ServedIndex): Promise<void> {
  return replaceFile(join(folder, SERVED_INDEX), `${JSON.stringify(index, null, 2)}\n`);
}

async function replaceFile(path: string, content: Uint8Array | string): Promise<void> {
  await writeFile(`${path}.writing`, content);
  await rename(`${path}.writing`, path);
}
