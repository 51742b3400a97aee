import { gunzipSync } from 'node:zlib';
import { zipSync } from 'fflate';
import { describe, expect, it } from 'vitest';
import { inspectModel, neededWords } from '../../../../src/hearing/models/inspect.ts';
import { problemLine } from '../../../../src/units/outcome.ts';
import { loadGrammar } from '../../../support/grammar.ts';
import { packModel } from '../../../support/tiny-model/archive.ts';
import { wordsTable } from '../../../support/tiny-model/graph.ts';
import { buildTinyModel, tinyModelFiles, tinyModelWords } from '../../../support/tiny-model/tiny-model.ts';

const needed = neededWords(loadGrammar());
const blob = (bytes: Uint8Array): Blob => new Blob([bytes as Uint8Array<ArrayBuffer>]);

async function reported(archive: Blob): Promise<string> {
  const report = await inspectModel(archive, 'model.tar.gz', needed);
  return report.ok ? 'accepted' : problemLine(report.problem);
}

function zipped(directory: string): Uint8Array {
  const encoder = new TextEncoder();
  const files = Object.entries(tinyModelFiles()).map(([path, body]) => [
    `${directory}${path}`,
    typeof body === 'string' ? encoder.encode(body) : body,
  ]);
  return zipSync(Object.fromEntries(files) as Record<string, Uint8Array>);
}

describe('checking a model archive', () => {
  it.each([
    ['a tar.gz', buildTinyModel()],
    [
      'a tar, as a browser leaves it when the server calls gzip a transport encoding',
      buildTinyModel().then((gz) => new Uint8Array(gunzipSync(gz))),
    ],
    ['a zip, as the publisher packs it', Promise.resolve(zipped('tiny-model/'))],
    ['a word list inside the graph', packModel(tinyModelFiles('graph'))],
  ])('accepts %s and says what is in it', async (_, archive) => {
    const report = await inspectModel(blob(await archive), 'x', needed);
    expect(report).toMatchObject({
      ok: true,
      value: { name: 'tiny-model', vocabulary: 20, takesPhrases: true, rejectsOtherSpeech: true },
    });
  });

  it('lists the words of callouts that cannot be heard with it', async () => {
    const report = await inspectModel(blob(await buildTinyModel()), 'x', needed);
    const missing = report.ok ? report.value.missingWords : [];
    expect(missing).toContain('niner');
    expect(missing).toContain('governor');
    for (const word of tinyModelWords()) expect(missing).not.toContain(word);
  });

  it('says when a model cannot be limited to phrases, or cannot reject other speech', async () => {
    const { 'graph/HCLr.fst': graph, ...rest } = tinyModelFiles();
    const fixed = { ...rest, 'graph/HCLG.fst': graph!, 'graph/words.txt': wordsTable(tinyModelWords()) };
    const report = await inspectModel(blob(await packModel(fixed)), 'x', needed);
    expect(report).toMatchObject({ ok: true, value: { takesPhrases: false, rejectsOtherSpeech: false } });
  });

  it('refuses a model of another language', async () => {
    const german = wordsTable([
      'null',
      'eins',
      'zwei',
      'drei',
      'vier',
      'fünf',
      'sechs',
      'sieben',
      'acht',
      'neun',
      '[unk]',
    ]);
    const line = await reported(blob(await packModel({ ...tinyModelFiles(), 'graph/words.txt': german })));
    expect(line).toMatch(
      /^model\.tar\.gz: This model is of another language: it knows 0 of \d+ spoken digits\. Choose an English model\.$/,
    );
  });

  it.each([
    ['an empty file', new Uint8Array(0), /The file is empty/],
    ['a web page', new TextEncoder().encode('\n<!doctype html><title>Not found</title>'), /This is a web page/],
    ['something else', new TextEncoder().encode('RIFF....WAVEfmt '), /neither a tar\.gz nor a zip/],
    ['half a zip', zipped('m/').slice(0, 20_000), /cut short or damaged/],
    ['a zip without a folder', zipped(''), /must hold one folder/],
  ])('refuses %s', async (_, bytes, expected) => {
    expect(await reported(blob(bytes))).toMatch(expected);
  });

  it('refuses an archive cut at any of many places, compressed or not', async () => {
    const gz = await buildTinyModel();
    const tar = new Uint8Array(gunzipSync(gz));
    for (const share of [0.01, 0.3, 0.5, 0.9, 0.999]) {
      expect(await reported(blob(gz.slice(0, gz.length * share)))).toMatch(/cut short|neither/);
      expect(await reported(blob(tar.slice(0, (tar.length - 4096) * share)))).toMatch(/cut short|neither|lacks/);
    }
  });

  it('refuses a damaged archive', async () => {
    const gz = (await buildTinyModel()).slice();
    gz[Math.floor(gz.length / 2)]! ^= 0xff;
    expect(await reported(blob(gz))).toMatch(/cut short or damaged/);
  });

  it.each([
    ['a Sphinx model', { mdef: '', means: '', 'feat.params': '' }, /This is a Sphinx model/],
    ['an ONNX model', { 'encoder.onnx': '' }, /This is an ONNX model/],
    ['a speaker model', { 'final.ext.raw': '', 'mfcc.conf': '' }, /This is a Vosk speaker model/],
    [
      'a model without its network',
      { 'conf/model.conf': '', 'conf/mfcc.conf': '', 'graph/HCLG.fst': '' },
      /lacks am\/final\.mdl/,
    ],
    [
      'a model without graphs',
      { 'am/final.mdl': '', 'conf/model.conf': '', 'conf/mfcc.conf': '' },
      /lacks graph\/HCLG\.fst or/,
    ],
  ])('refuses %s and names what it is or lacks', async (_, files, expected) => {
    expect(await reported(blob(await packModel(files)))).toMatch(expected);
  });

  it('refuses an archive of 2 GB by its size alone', async () => {
    const huge = { size: 2 * 2 ** 30, slice: () => expect.unreachable('it was read') } as unknown as Blob;
    expect(await reported(huge)).toMatch(/too large for a browser: 2147 MB/);
  });
});
