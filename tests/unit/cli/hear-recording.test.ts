import { execFile } from 'node:child_process';
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { writeModel } from '../../../src/cli/assets/assets-model.ts';
import { cachedFlite } from '../../../src/cli/assets/cached-flite.ts';
import { hearCommand } from '../../../src/cli/hear/hear-command.ts';
import { QUIET_CAB, recordOperator } from '../../../src/cli/operator/operator-recording.ts';
import { grammarWords, loadGrammar } from '../../../src/cli/shared/read-inputs.ts';
import { PRONUNCIATIONS } from '../../../src/grammar/pronunciations.ts';
import { writeWav } from '../../../src/hearing/wav.ts';
import type { Utterance } from '../../../src/rehearsal/synthetic-operator.ts';

let folder = '';
let truth: readonly Utterance[] = [];
let wav = new Uint8Array();

beforeAll(async () => {
  folder = mkdtempSync(join(tmpdir(), 'hear-wav-'));
  const grammar = await loadGrammar();
  if (!grammar.ok) throw new Error(grammar.problem.what);
  await writeModel(join(folder, 'model'), { words: grammarWords(grammar.value), pronunciations: PRONUNCIATIONS });
  const recording = await recordOperator(
    [
      { step: 'refill', text: 'primary one two five, secondary one two four' },
      { step: 'build-up', text: 'both at one hundred' },
    ],
    { voice: 'rms', pace: { lead: 900, pause: 1200 }, noise: QUIET_CAB, tail: 800 },
    cachedFlite(join(folder, 'cache')),
  );
  truth = recording.truth;
  wav = writeWav(recording.samples, 16_000);
}, 600_000);
afterAll(() => rmSync(folder, { recursive: true }));

async function listen(bytes: Uint8Array, ear: readonly string[] = ['--model', join(folder, 'model')]) {
  const path = join(folder, 'cab.wav');
  writeFileSync(path, bytes);
  const out: string[] = [];
  const err: string[] = [];
  const argv = [path, '--listen', 'readings', ...ear];
  const status = await hearCommand(argv, { out: (line) => out.push(line), err: (line) => err.push(line) });
  return {
    status,
    err,
    heard: out.map((line) => JSON.parse(line) as { at: number; end: number; heard: string; meaning?: unknown }),
  };
}

describe('hear on a recording', () => {
  it.each([
    ['the embedded ear', undefined],
    ['the app’s own ear, which a fresh clone hears with', []],
  ])(
    'hears the needles, and when they were called to within 60 ms: %s',
    async (_, ear) => {
      const { status, heard, err } = await listen(wav, ear);
      expect(err).toEqual([]);
      expect(status).toBe(0);
      expect(heard.map(({ meaning }) => meaning)).toEqual([
        { cues: [], reading: { primary: { value: 125, unit: 'psi' }, secondary: { value: 124, unit: 'psi' } } },
        { cues: [], reading: { primary: { value: 100, unit: 'psi' }, secondary: { value: 100, unit: 'psi' } } },
      ]);
      heard.forEach(({ at, end }, i) => {
        expect(Math.abs(at - truth[i]!.at)).toBeLessThanOrEqual(60);
        expect(Math.abs(end - truth[i]!.end)).toBeLessThanOrEqual(60);
      });
    },
    600_000,
  );

  it('hears what is there of a recording that was cut short, and says so in one line', async () => {
    const { status, err, heard } = await listen(wav.subarray(0, 44 + Math.round((truth[0]!.end + 500) * 32)));
    expect(status).toBe(0);
    expect(heard).toHaveLength(1);
    expect(err).toHaveLength(1);
    expect(err[0]).toMatch(/cab\.wav.*cut short/);
  }, 600_000);

  it('says where speech was that is no reading', async () => {
    const { samples, truth: said } = await recordOperator(
      [{ step: 'refill', text: 'can you grab me a coffee on the way back' }],
      { voice: 'slt', pace: { lead: 900, pause: 1200 }, noise: QUIET_CAB, tail: 800 },
      cachedFlite(join(folder, 'cache')),
    );
    const { status, heard } = await listen(writeWav(samples, 16_000));
    expect(status).toBe(0);
    expect(heard.map((each) => ({ heard: each.heard, meaning: each.meaning }))).toEqual([{ heard: '' }]);
    expect(heard[0]!.at).toBeLessThanOrEqual(said[0]!.at);
    expect(heard[0]!.end).toBeGreaterThanOrEqual(said[0]!.end);
  }, 600_000);

  it('names the model that is missing', async () => {
    const err: string[] = [];
    const path = join(folder, 'cab.wav');
    writeFileSync(path, wav);
    const argv = [path, '--listen', 'readings', '--model', join(folder, 'nothing')];
    expect(await hearCommand(argv, { out: () => undefined, err: (line) => err.push(line) })).toBe(2);
    expect(err).toHaveLength(1);
    expect(err[0]).toContain('nothing');
  });

  it('ends the process with its status and one line, without a stack trace', async () => {
    const ran = await new Promise<{ code: unknown; stderr: string }>((resolve) => {
      execFile('node', ['--import', 'tsx', 'src/cli/hear.ts', '/nowhere/cab.wav'], (error, _out, stderr) => {
        resolve({ code: error?.code, stderr });
      });
    });
    expect(ran.code).toBe(2);
    expect(ran.stderr).toBe('hear: /nowhere/cab.wav: there is no such file.\n');
  }, 600_000);
});
