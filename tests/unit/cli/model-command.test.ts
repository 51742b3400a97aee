import { createHash } from 'node:crypto';
import { mkdir, mkdtemp, readdir, readFile, rm, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { modelCommand } from '../../../src/cli/model/model-command.ts';
import { adoptArchives, servedIndex } from '../../../src/cli/model/served-folder.ts';
import { neededWords } from '../../../src/hearing/models/inspect.ts';
import { servedModels } from '../../../src/hearing/models/served.ts';
import { problemLine } from '../../../src/units/outcome.ts';
import { loadGrammar } from '../../support/grammar.ts';
import { packModel } from '../../support/tiny-model/archive.ts';
import { buildTinyModel, tinyModelFiles } from '../../support/tiny-model/tiny-model.ts';
import { sendFile, serving } from '../hearing/models/server.ts';

const model = await buildTinyModel();
const sha256 = createHash('sha256').update(model).digest('hex');

let root: string;
let printed: { out: string[]; err: string[]; progress: string[] };
beforeEach(async () => {
  root = await mkdtemp(join(tmpdir(), 'two-needles-model-'));
  printed = { out: [], err: [], progress: [] };
});
afterEach(() => rm(root, { recursive: true }));

function run(...argv: string[]): Promise<number> {
  return modelCommand(
    argv,
    { served: join(root, 'served'), incoming: join(root, 'incoming') },
    {
      out: (text) => printed.out.push(text),
      err: (text) => printed.err.push(text),
      progress: (text) => printed.progress.push(text),
    },
  );
}

const filesIn = async (folder: string): Promise<string[]> => {
  const entries = await readdir(join(root, folder), { recursive: true, withFileTypes: true }).catch(() => []);
  return entries
    .filter((entry) => entry.isFile())
    .map(({ name }) => name)
    .sort();
};

describe('npm run model', () => {
  it('serves a model from a file, and the app finds it with its checksum', async () => {
    await writeFile(join(root, 'tiny.tar.gz'), model);
    expect(await run(join(root, 'tiny.tar.gz'))).toBe(0);
    expect(printed.out[0]).toMatch(/^tiny-model: 0\.07 MB, 20 words, now in /);
    expect(await filesIn('served')).toEqual(['index.json', 'tiny-model.tgz']);
    expect(await filesIn('incoming')).toEqual([]);

    await serving(
      (request, response) =>
        void readFile(join(root, 'served', request.url ?? '')).then((bytes) => response.end(bytes)),
      async (origin) => {
        const found = await servedModels(new URL(`${origin}/`), fetch);
        expect(found).toEqual([{ name: 'tiny-model', url: `${origin}/tiny-model.tgz`, bytes: model.length, sha256 }]);
      },
    );
  });

  it('serves a model from an address, with progress', async () => {
    await serving(
      (request, response) => sendFile(model, request, response),
      async (origin) => expect(await run(`${origin}/tiny.tar.gz`, '--sha256', sha256)).toBe(0),
    );
    expect(printed.progress.at(-1)).toBe('0.07 MB of 0.07 MB');
    expect(await filesIn('served')).toEqual(['index.json', 'tiny-model.tgz']);
  });

  it('replaces a model of the same name and keeps others', async () => {
    const newer = await packModel({ ...tinyModelFiles(), README: 'newer' });
    const other = await packModel(tinyModelFiles(), 'other-model');
    for (const [index, bytes] of [model, other, newer].entries()) {
      await writeFile(join(root, `${index}.tgz`), bytes);
      expect(await run(join(root, `${index}.tgz`))).toBe(0);
    }
    expect(await filesIn('served')).toEqual(['index.json', 'other-model.tgz', 'tiny-model.tgz']);
    expect(await readFile(join(root, 'served', 'tiny-model.tgz'))).toEqual(Buffer.from(newer));
  });

  it.each([
    ['no argument', [], /Name one address or one file/],
    ['a file that is not there', ['nowhere.tar.gz'], /^model: nowhere\.tar\.gz: There is no such file/],
    ['a folder', ['src'], /This is a folder, not a model archive\. Pack it first/],
    ['a file that is no archive', ['package.json'], /neither a tar\.gz nor a zip/],
    ['a broken address', ['https://'], /not a complete address/],
    ['a checksum that is none', ['x', '--sha256', 'abc'], /64 hexadecimal digits/],
    ['an unknown option', ['--nosuch'], /--nosuch/],
  ])('refuses %s with one line and status 2', async (_, argv, expected) => {
    expect(await run(...argv)).toBe(2);
    expect(printed.out).toEqual([]);
    expect(printed.err).toEqual([expect.stringMatching(expected)]);
    expect(printed.err[0]).not.toContain('\n');
  });

  it('leaves the served model alone when a new one is refused', async () => {
    await writeFile(join(root, 'good.tgz'), model);
    await run(join(root, 'good.tgz'));
    await writeFile(join(root, 'cut.tgz'), model.subarray(0, 40_000));
    expect(await run(join(root, 'cut.tgz'))).toBe(2);
    await writeFile(join(root, 'other.tgz'), await packModel({ mdef: '' }));
    expect(await run(join(root, 'other.tgz'))).toBe(2);
    expect(await run(join(root, 'good.tgz'), '--sha256', 'f'.repeat(64))).toBe(2);
    expect(await readFile(join(root, 'served', 'tiny-model.tgz'))).toEqual(Buffer.from(model));
    expect(await filesIn('incoming')).toEqual([]);
  });
});

describe('archives put into the folder by hand', () => {
  const needed = neededWords(loadGrammar());
  const served = (): string => join(root, 'served');

  it('are checked, named so that no server unpacks them on the way, and listed', async () => {
    await mkdir(served());
    await writeFile(join(served(), 'by-hand.tar.gz'), model);
    expect(await adoptArchives(served(), needed)).toEqual([]);
    expect(await filesIn('served')).toEqual(['index.json', 'tiny-model.tgz']);
    expect((await servedIndex(served())).models).toEqual([
      { file: 'tiny-model.tgz', name: 'tiny-model', bytes: model.length, sha256 },
    ]);
  });

  it('are left alone and named when they are broken, and a model that was deleted is no longer listed', async () => {
    await writeFile(join(root, 'good.tgz'), model);
    await run(join(root, 'good.tgz'));
    await rm(join(served(), 'tiny-model.tgz'));
    await writeFile(join(served(), 'cut.zip'), 'PK\u0003\u0004');
    const refused = await adoptArchives(served(), needed);
    expect(refused.map(problemLine)).toEqual([expect.stringMatching(/cut\.zip: The archive is cut short or damaged/)]);
    expect(await filesIn('served')).toEqual(['cut.zip', 'index.json']);
    expect((await servedIndex(served())).models).toEqual([]);
  });
});
