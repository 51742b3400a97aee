import { createHash, randomUUID } from 'node:crypto';
import { beforeEach, describe, expect, it } from 'vitest';
import type { DownloadHost } from '../../../../src/hearing/models/download.ts';
import { neededWords } from '../../../../src/hearing/models/inspect.ts';
import { openModelLibrary } from '../../../../src/hearing/models/library.ts';
import type { ModelLibrary } from '../../../../src/hearing/models/library.ts';
import { memoryShelf } from '../../../../src/hearing/models/shelf.ts';
import type { Shelf } from '../../../../src/hearing/models/shelf.ts';
import { problemLine } from '../../../../src/units/outcome.ts';
import type { Outcome } from '../../../../src/units/outcome.ts';
import { loadGrammar } from '../../../support/grammar.ts';
import { packModel } from '../../../support/tiny-model/archive.ts';
import { wordsTable } from '../../../support/tiny-model/graph.ts';
import { buildTinyModel, tinyModelFiles } from '../../../support/tiny-model/tiny-model.ts';
import { sendFile, serving } from './server.ts';

const needed = neededWords(loadGrammar());
const host: DownloadHost = { fetch, freeSpace: () => Promise.resolve(undefined), newId: randomUUID };
const old = await buildTinyModel();
const sha256 = (bytes: Uint8Array): string => createHash('sha256').update(bytes).digest('hex');
const blob = (bytes: Uint8Array): Blob => new Blob([bytes as Uint8Array<ArrayBuffer>]);

/** A model larger than the pieces in which downloads are stored: 10 MB that do not compress. */
const ballast = new Uint8Array(10_000_000);
for (let i = 0; i < ballast.length; i += 65_536)
  crypto.getRandomValues(ballast.subarray(i, Math.min(i + 65_536, ballast.length)));
const large = await packModel({ ...tinyModelFiles(), 'graph/ballast': ballast }, 'large-model');

const german = wordsTable('null eins zwei drei vier fünf sechs sieben acht neun [unk]'.split(' '));
/** Archives that cannot be used, and what is said of them. */
const UNFIT = [
  ['half an archive', Promise.resolve(old.slice(0, old.length / 2)), /cut short or damaged/],
  [
    'a file that is no archive',
    Promise.resolve(new TextEncoder().encode('RIFF....WAVE')),
    /neither a tar\.gz nor a zip/,
  ],
  ['a model of another engine', packModel({ mdef: '', means: '' }), /This is a Sphinx model/],
  [
    'a model of another language',
    packModel({ ...tinyModelFiles(), 'graph/words.txt': german }),
    /of another language: it knows 0 of \d+ spoken digits/,
  ],
] as const;

let shelf: Shelf;
let library: ModelLibrary;
beforeEach(async () => {
  shelf = memoryShelf();
  library = await openModelLibrary(shelf, host, needed);
  await library.addFile(blob(old), 'old.tar.gz');
});

function line(outcome: Outcome<unknown>): string {
  return outcome.ok ? 'done' : problemLine(outcome.problem);
}

/** The old model is listed, whole, and nothing else is on the shelf. */
async function expectOnlyTheOldModel(): Promise<void> {
  const [model, ...others] = await library.list();
  expect(others).toEqual([]);
  expect(line(await library.verify(model!.id))).toBe('done');
  expect((await shelf.keys()).filter((key) => !key.includes(model!.id))).toEqual([]);
}

// Ten megabytes go through it many times, on machines that are also busy with other tests.
describe('downloading a model', { timeout: 600_000 }, () => {
  it('stores it whole, with progress and the checksum that other programs compute', async () => {
    const seen: [number, number | undefined][] = [];
    await serving(
      (request, response) => sendFile(large, request, response),
      async (origin) => {
        const done = await library.download(
          { url: `${origin}/large.tar.gz`, sha256: sha256(large).toUpperCase() },
          { onProgress: (received, total) => seen.push([received, total]) },
        );
        expect(line(done)).toBe('done');
      },
    );
    expect(seen.at(-1)).toEqual([large.length, large.length]);
    const model = (await library.list()).find(({ name }) => name === 'large-model');
    expect(model?.sha256).toBe(sha256(large));
    const archive = await library.open(model!.id);
    expect(archive.ok && sha256(new Uint8Array(await archive.value.arrayBuffer()))).toBe(sha256(large));
    expect(await library.unfinished()).toEqual([]);
  });

  it('can be cancelled, and goes on from there', async () => {
    const ranges: (string | undefined)[] = [];
    await serving(
      (request, response) => {
        ranges.push(request.headers.range);
        sendFile(large, request, response);
      },
      async (origin) => {
        const url = `${origin}/large.tar.gz`;
        const stop = new AbortController();
        const cancelled = await library.download(
          { url },
          { signal: stop.signal, onProgress: (received) => received > 5e6 && stop.abort() },
        );
        expect(line(cancelled)).toMatch(/stopped after \d+ MB of 10 MB\. Start it again to resume\.$/);
        expect((await library.list()).map(({ name }) => name)).toEqual(['tiny-model']);
        const [unfinished] = await library.unfinished();

        const reopened = await openModelLibrary(shelf, host, needed);
        expect(line(await reopened.download({ url, sha256: sha256(large) }))).toBe('done');
        expect(ranges).toEqual([undefined, `bytes=${unfinished!.received}-`]);
        expect(await reopened.unfinished()).toEqual([]);
      },
    );
  });

  it('can be cancelled for good: nothing of it remains', async () => {
    await serving(
      (request, response) => sendFile(large, request, response),
      async (origin) => {
        const stop = new AbortController();
        await library.download({ url: origin }, { signal: stop.signal, onProgress: () => stop.abort() });
        for (const { id } of await library.unfinished()) await library.remove(id);
      },
    );
    await expectOnlyTheOldModel();
  });

  it('starts over when the file on the server has changed meanwhile', async () => {
    let modified = 'Wed, 01 Apr 2026 08:00:00 GMT';
    await serving(
      (request, response) => sendFile(large, request, response, modified),
      async (origin) => {
        const stop = new AbortController();
        await library.download(
          { url: origin },
          { signal: stop.signal, onProgress: (received) => received > 5e6 && stop.abort() },
        );
        modified = 'Thu, 02 Apr 2026 08:00:00 GMT';
        expect(line(await library.download({ url: origin, sha256: sha256(large) }))).toBe('done');
      },
    );
    expect(await library.unfinished()).toEqual([]);
  });

  it('starts over when the server cannot resume', async () => {
    await serving(
      (_, response) => {
        response.writeHead(200, { 'content-length': large.length, etag: '"1"' });
        response.end(large);
      },
      async (origin) => {
        const stop = new AbortController();
        await library.download(
          { url: origin },
          { signal: stop.signal, onProgress: (received) => received > 5e6 && stop.abort() },
        );
        expect(line(await library.download({ url: origin, sha256: sha256(large) }))).toBe('done');
      },
    );
  });

  it('says how much came when the server sends half the bytes, and can be resumed', async () => {
    let half = true;
    await serving(
      (request, response) => {
        if (!half) {
          sendFile(large, request, response);
          return;
        }
        response.writeHead(200, { 'content-length': large.length, 'last-modified': 'Wed, 01 Apr 2026 08:00:00 GMT' });
        response.write(large.subarray(0, large.length / 2), () => response.destroy());
      },
      async (origin) => {
        expect(line(await library.download({ url: origin }))).toMatch(
          /The connection ended after \d(\.\d+)? MB of 10 MB\. Start it again to resume\.$/,
        );
        expect((await library.list()).map(({ name }) => name)).toEqual(['tiny-model']);
        half = false;
        expect(line(await library.download({ url: origin, sha256: sha256(large) }))).toBe('done');
      },
    );
  });

  it('keeps nothing of half a download that cannot be resumed', async () => {
    await serving(
      (_, response) => {
        response.writeHead(200, { 'content-length': large.length });
        response.write(large.subarray(0, large.length / 2), () => response.destroy());
      },
      async (origin) =>
        expect(line(await library.download({ url: origin }))).toMatch(/The connection ended .* Start it again\.$/),
    );
    await expectOnlyTheOldModel();
  });

  it.each([
    ['answers 404', 404, 'application/gzip', 'no', /The server has no file at this address \(404\)/],
    ['answers 503', 503, 'text/html', 'no', /The server refused the download \(503\)/],
    ['answers with a page', 200, 'text/html; charset=utf-8', '<html>', /The server sent a web page instead of a model/],
    ['calls a page an archive', 200, 'application/gzip', '<html>', /This is a web page, not a model archive/],
  ])('refuses plainly when the server %s', async (_, status, type, body, expected) => {
    await serving(
      (__, response) => {
        response.writeHead(status, { 'content-type': type });
        response.end(body);
      },
      async (origin) => expect(line(await library.download({ url: `${origin}/m.tar.gz` }))).toMatch(expected),
    );
    await expectOnlyTheOldModel();
  });

  it.each(UNFIT)('refuses %s that is served whole, and keeps nothing of it', async (_, archive, expected) => {
    const bytes = await archive;
    await serving(
      (request, response) => sendFile(bytes, request, response),
      async (origin) => expect(line(await library.download({ url: `${origin}/m.tar.gz` }))).toMatch(expected),
    );
    await expectOnlyTheOldModel();
  });

  it('asks for room for the rest only when it resumes, and keeps what it has when there is none', async () => {
    let room = 6e6;
    const cramped = await openModelLibrary(shelf, { ...host, freeSpace: () => Promise.resolve(room) }, needed);
    await serving(
      (request, response) => sendFile(large, request, response),
      async (url) => {
        const stop = new AbortController();
        await library.download({ url }, { signal: stop.signal, onProgress: (got) => got > 5e6 && stop.abort() });
        room = 1e6;
        expect(line(await cramped.download({ url }))).toMatch(/not enough room: \d(\.\d+)? MB needed, 1 MB free/);
        expect(await cramped.unfinished()).toHaveLength(1);
        room = 6e6;
        expect(line(await cramped.download({ url, sha256: sha256(large) }))).toBe('done');
      },
    );
    expect(await cramped.unfinished()).toEqual([]);
  });

  it('refuses a wrong checksum, naming both', async () => {
    const wrong = '0'.repeat(64);
    await serving(
      (request, response) => sendFile(large, request, response),
      async (origin) => {
        const refused = line(await library.download({ url: origin, sha256: wrong }));
        expect(refused).toContain(`The checksum does not match: expected ${wrong}, got ${sha256(large)}.`);
      },
    );
    await expectOnlyTheOldModel();
  });

  it('refuses 2 GB before they are fetched', async () => {
    await serving(
      (_, response) => response.writeHead(200, { 'content-length': 2 * 2 ** 30 }).flushHeaders(),
      async (origin) =>
        expect(line(await library.download({ url: origin }))).toMatch(/too large for a browser: 2147 MB/),
    );
    await expectOnlyTheOldModel();
  });

  it('refuses when there is not enough room, before anything is fetched', async () => {
    const cramped = await openModelLibrary(shelf, { ...host, freeSpace: () => Promise.resolve(1e6) }, needed);
    await serving(
      (request, response) => sendFile(large, request, response),
      async (origin) => {
        expect(line(await cramped.download({ url: origin }))).toMatch(/not enough room: 11 MB needed, 1 MB free/);
      },
    );
    await expectOnlyTheOldModel();
  });

  it('removes what came when the disk fills up on the way', async () => {
    const filling: Shelf = {
      ...shelf,
      put: (key, bytes) =>
        key.endsWith('/00001') ? Promise.reject(new DOMException('full', 'QuotaExceededError')) : shelf.put(key, bytes),
    };
    const full = await openModelLibrary(filling, host, needed);
    await serving(
      (request, response) => sendFile(large, request, response),
      async (origin) => expect(line(await full.download({ url: origin }))).toMatch(/The disk is full/),
    );
    await expectOnlyTheOldModel();
  });

  it('says plainly when there is no server', async () => {
    const origin = await serving(
      () => undefined,
      (gone) => Promise.resolve(gone),
    );
    expect(line(await library.download({ url: `${origin}/m.tar.gz` }))).toMatch(/The server cannot be reached/);
    await expectOnlyTheOldModel();
  });
});

describe('models on the shelf', { timeout: 600_000 }, () => {
  it('stores an equal archive once', async () => {
    const again = await library.addFile(blob(old), 'the same.tar.gz');
    expect(again.ok && again.value.source).toBe('old.tar.gz');
    await expectOnlyTheOldModel();
  });

  it('keeps the old model when a new file is refused or does not fit', async () => {
    expect(line(await library.addFile(blob(old.slice(0, 1000)), 'cut.tar.gz'))).toMatch(
      /^cut\.tar\.gz: The archive is cut short/,
    );
    const filling: Shelf = {
      ...shelf,
      put: () => Promise.reject(Object.assign(new Error('no space'), { code: 'ENOSPC' })),
    };
    const full = await openModelLibrary(filling, host, needed);
    expect(line(await full.addFile(blob(large), 'large.tar.gz'))).toMatch(/The disk is full/);
    await expectOnlyTheOldModel();
  });

  it.each(UNFIT)('keeps the old model when %s is chosen as a file', async (_, archive, expected) => {
    expect(line(await library.addFile(blob(await archive), 'chosen.tar.gz'))).toMatch(expected);
    await expectOnlyTheOldModel();
  });

  it('refuses a chosen file of 2 GB, or one for which there is no room, without copying it', async () => {
    const huge = { size: 2 * 2 ** 30, slice: () => expect.unreachable('it was read') } as unknown as Blob;
    expect(line(await library.addFile(huge, 'huge.tar.gz'))).toMatch(
      /^huge\.tar\.gz: .* too large for a browser: 2147 MB/,
    );
    const cramped = await openModelLibrary(shelf, { ...host, freeSpace: () => Promise.resolve(1e6) }, needed);
    expect(line(await cramped.addFile(blob(large), 'large.tar.gz'))).toMatch(
      /^large\.tar\.gz: There is not enough room: 10 MB needed, 1 MB free/,
    );
    await expectOnlyTheOldModel();
  });

  it('finds damage when it verifies, and says when a part is gone', async () => {
    const [model] = await library.list();
    const damaged = old.slice();
    damaged[5000]! ^= 1;
    await shelf.put(model!.pieces[0]!, blob(damaged));
    expect(line(await library.verify(model!.id))).toBe(
      'tiny-model: The stored model is damaged. Remove it and add it again.',
    );
    await shelf.remove(model!.pieces[0]!);
    expect(line(await library.open(model!.id))).toMatch(/thrown away part of the model/);
  });

  it('removes a model without a trace', async () => {
    for (const { id } of await library.list()) await library.remove(id);
    expect(await shelf.keys()).toEqual([]);
    expect(line(await library.open('gone'))).toMatch(/no such model/);
  });

  it('clears away at opening what a killed page left half-written', async () => {
    await shelf.put('bytes/killed/00000', blob(old));
    await openModelLibrary(shelf, host, needed);
    await expectOnlyTheOldModel();
  });
});
