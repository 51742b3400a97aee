import { describe, expect, it } from 'vitest';
import { neededWords } from '../../../src/hearing/models/inspect.ts';
import { openModelLibrary } from '../../../src/hearing/models/library.ts';
import type { StoredModel } from '../../../src/hearing/models/records.ts';
import { memoryShelf } from '../../../src/hearing/models/shelf.ts';
import { EarModels } from '../../../src/running/ear-models.ts';
import type { EarModelsParts } from '../../../src/running/ear-models.ts';
import { earName, earOrder } from '../../../src/running/ear-order.ts';
import { loadGrammar } from '../../support/grammar.ts';
import { buildTinyModel } from '../../support/tiny-model/tiny-model.ts';
import { sendFile, serving } from '../hearing/models/server.ts';

function model(id: string, missing: number, bytes = 1000): StoredModel {
  return {
    id,
    name: `model-${id}`,
    source: 'a file',
    bytes,
    sha256: id.repeat(64).slice(0, 64),
    vocabulary: 100,
    missingWords: Array.from({ length: missing }, (_, index) => `word${index}`),
    takesPhrases: true,
    rejectsOtherSpeech: true,
    pieces: [],
  };
}

const named = (choice: string, ...models: readonly StoredModel[]): readonly string[] =>
  earOrder(choice, models).map(earName);

describe('which ear listens', () => {
  it('is the app’s own, and the embedded ear takes over, whatever models were added', () => {
    for (const choice of ['auto', 'gone'])
      expect(named(choice, model('a', 0))).toEqual(['the Two Needles ear', 'the embedded ear']);
  });

  it('is the embedded one when that was chosen, and the app’s own takes over', () => {
    expect(named('embedded', model('a', 0))).toEqual(['the embedded ear', 'the Two Needles ear']);
  });

  it('is the added model that was chosen while it is here, and then the other two', () => {
    expect(named('b', model('a', 0), model('b', 2))).toEqual([
      'the Vosk ear with model-b',
      'the Two Needles ear',
      'the embedded ear',
    ]);
  });
});

function models(parts: Partial<EarModelsParts> = {}): EarModels {
  let ids = 0;
  const host = {
    fetch: globalThis.fetch,
    freeSpace: () => Promise.resolve(undefined),
    newId: () => `id-${(ids += 1)}`,
  };
  return new EarModels({
    open: () => openModelLibrary(memoryShelf(), host, neededWords(loadGrammar())),
    served: () => Promise.resolve([]),
    freeSpace: () => Promise.resolve(5e9),
    ...parts,
  });
}

const tinyFile = async (): Promise<File> =>
  new File([new Uint8Array(await buildTinyModel())], 'tiny.tgz', { type: 'application/gzip' });

describe('the models for the Vosk ear on this device', () => {
  it('are added from a file, verified and removed, each with a line that says so', async () => {
    const ears = models();
    await ears.addFile(await tinyFile());
    const [added] = ears.view.models;
    expect(ears.view.done).toBe(`Added: tiny-model, SHA-256 ${added?.sha256}. It also works offline.`);
    expect(ears.view.free).toBe(5e9);
    await ears.verify(added!);
    expect(ears.view.done).toContain('tiny-model is whole');
    await ears.remove(added!.id, 'tiny-model');
    expect(ears.view).toMatchObject({ models: [], job: undefined, done: 'Removed: tiny-model.', refused: '' });
  });

  it('keep the line of a refused file, and the model that was there before', async () => {
    const ears = models();
    await ears.addFile(await tinyFile());
    await ears.addFile(new File(['<html>'], 'page.zip'));
    expect(ears.view.refused).toBe(
      'page.zip: This is a web page, not a model archive. Use the address of the archive itself, not of the page that links to it.',
    );
    expect(ears.view.done).toBe('');
    expect((await ears.list()).map(({ name }) => name)).toEqual(['tiny-model']);
  });

  it('tell the progress of a download, and do one piece of work at a time', async () => {
    const archive = await buildTinyModel();
    const seen: string[] = [];
    const ears = models();
    ears.watch(() => seen.push(`${ears.view.job?.doing} ${ears.view.job?.received} of ${ears.view.job?.total}`));
    await serving(
      (request, response) => sendFile(archive, request, response),
      async (origin) => {
        const first = ears.download(`${origin}/tiny.tgz`);
        await ears.download(`${origin}/other.tgz`);
        await first;
      },
    );
    expect(seen).toContain(`Checking ${archive.length} of ${archive.length}`);
    expect(ears.view.models).toHaveLength(1);
  });

  it('offer those of the station until they are on this device', async () => {
    const archive = await buildTinyModel();
    const digest = await crypto.subtle.digest('SHA-256', new Uint8Array(archive));
    const served = {
      name: 'tiny-model',
      url: 'http://station.invalid/tiny.tgz',
      bytes: archive.length,
      sha256: Buffer.from(digest).toString('hex'),
    };
    const ears = models({ served: () => Promise.resolve([served]) });
    await ears.refresh();
    expect(ears.view.served).toEqual([served]);
    await ears.addFile(await tinyFile());
    expect(ears.view.served).toEqual([]);
  });

  it('leave the embedded ear to work where the browser keeps nothing', async () => {
    const ears = models({ open: () => Promise.reject(new Error('SecurityError')) });
    expect(await ears.list()).toEqual([]);
    await ears.refresh();
    expect(ears.view.refused).toContain('The built-in ears need none.');
  });
});
