import { mkdirSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { replay } from '../../../src/check/machine.ts';
import { hearCommand } from '../../../src/cli/hear/hear-command.ts';
import type { HearReport } from '../../../src/cli/hear/hear-report.ts';
import { writeTranscript } from '../../../src/cli/shared/webvtt.ts';
import { checkEvents } from '../../../src/record/log.ts';
import { readLog } from '../../../src/record/read-log.ts';
import { verifyLog } from '../../../src/record/verify.ts';
import { ENGINE_31, LADDER_36, TENDER_34, type Scenario } from '../../../src/rehearsal/synthetic-operator-script.ts';
import { sayScenario, transcriptOf } from '../../support/operator.ts';

let folder = '';
beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), 'hear-'));
});
afterAll(() => rmSync(folder, { recursive: true }));

/** Runs the command on files that are written first. */
async function hear(files: Record<string, string | Uint8Array>, ...argv: string[]) {
  for (const [name, content] of Object.entries(files)) writeFileSync(join(folder, name), content);
  const out: string[] = [];
  const err: string[] = [];
  const placed = argv.map((arg) => (arg in files ? join(folder, arg) : arg));
  const status = await hearCommand(placed, { out: (text) => out.push(text), err: (text) => err.push(text) });
  return { status, out: out.join('\n'), err: err.join('\n') };
}

async function report(transcript: string, ...argv: string[]): Promise<{ status: number; result: HearReport }> {
  const { status, out } = await hear({ 'cab.vtt': transcript }, 'cab.vtt', '--json', ...argv);
  return { status, result: JSON.parse(out) as HearReport };
}

function verdictOf(result: HearReport, id: string): string | undefined {
  return result.steps.find((step) => step.id === id)?.verdict;
}

describe('hear on a whole transcript', () => {
  it('passes a check whose needles are all inside the limits, and reports figures worked out by hand', async () => {
    const { status, result } = await report(transcriptOf(ENGINE_31));
    expect(status).toBe(0);
    expect(result).toMatchObject({ plan: 'full-cab-check', profile: 'fire-practice', rig: 'unnamed', verdict: 'pass' });
    const figures = Object.fromEntries(result.steps.map((step) => [step.id, step.figures]));
    // From the needles of the scenario: 118/117 to 117/116 and 107/106 to 106/104; 124/123 out, 98/97 in.
    expect(figures['static-leakage']).toMatchObject({
      primaryDrop: { value: 1, unit: 'psi' },
      secondaryDrop: { value: 1 },
    });
    expect(figures['applied-leakage']).toMatchObject({ primaryDrop: { value: 1 }, secondaryDrop: { value: 2 } });
    expect(figures['governor-cut-out']).toMatchObject({ cutOut: { value: 124 } });
    expect(figures['governor-cut-in']).toMatchObject({ cutIn: { value: 97 } });
    // 61 s of audio between the words: the 60 s hold and the second that the operator took.
    expect(figures['static-leakage']?.interval?.value).toBeCloseTo(61, 6);
    expect(figures['build-up']?.buildUpTime?.value).toBeCloseTo(31, 6);
  });

  it('times the whole check from the ignition to the end of the last step', async () => {
    const said = sayScenario(ENGINE_31);
    const ignition = said.find((line) => line.text === 'ignition on')!;
    const { result } = await report(writeTranscript(said));
    expect(result.clock.start).toBe(Math.round(ignition.at));
    expect(result.clock.seconds! * 1000).toBe(result.clock.end! - result.clock.start!);
    expect(result.clock.end!).toBeGreaterThanOrEqual(Math.round(said.at(-1)!.at));
  });

  it('fails a secondary circuit that drops 10 psi with the brake applied, and only that', async () => {
    // More than 3 psi in a minute fails a straight truck: model commercial driver manual, section 5; fire service practice.
    for (const profile of ['fire-practice', 'us-cdl-single']) {
      const { status, result } = await report(transcriptOf(LADDER_36), '--profile', profile);
      expect(status).toBe(1);
      expect(verdictOf(result, 'applied-leakage')).toBe('fail');
      expect(verdictOf(result, 'static-leakage')).not.toBe('fail');
    }
  });

  it('keeps the needles that were corrected out of the figures', async () => {
    const { result } = await report(transcriptOf(LADDER_36));
    expect(result.steps.find((step) => step.id === 'governor-cut-in')?.figures).toMatchObject({ cutIn: { value: 94 } });
  });

  it('fails a warning that comes at 50 psi where it must come before 60', async () => {
    // "Low-air warning before 60 psi": model commercial driver manual, section 5; 49 CFR 571.121 S5.1.5.
    const late: Scenario = { ...ENGINE_31, warning: [50, 52], activation: [30, 31] };
    const { result } = await report(transcriptOf(late), '--profile', 'us-cdl-single');
    expect(verdictOf(result, 'low-air-warning')).toBe('fail');
  });

  it('judges the hand valve on a rig that has one, and passes it over on one that has not', async () => {
    const rig = JSON.stringify(TENDER_34.rig);
    const { out } = await hear(
      { 'cab.vtt': transcriptOf(TENDER_34), 'rig.json': rig },
      'cab.vtt',
      '--json',
      '--rig',
      'rig.json',
    );
    expect(verdictOf(JSON.parse(out) as HearReport, 'hand-valve-test')).toBe('pass');
    expect(verdictOf((await report(transcriptOf(ENGINE_31))).result, 'hand-valve-test')).toBe('not judged');
  });

  it('is incomplete when the recording ends in the middle, and still tells what was measured', async () => {
    const { status, result } = await report(writeTranscript(sayScenario(ENGINE_31).slice(0, 12)));
    expect(status).toBe(3);
    expect(result.verdict).toBe('incomplete');
    expect(verdictOf(result, 'governor-cut-out')).toBe('pass');
    expect(result.steps.at(-1)).toMatchObject({ verdict: 'not judged', figures: {} });
    expect(result.steps.at(-1)?.reason).not.toBe('');
  });

  it('takes what a live check would ask about, and flags it', async () => {
    const said = sayScenario(LADDER_36).filter((line) => !line.text.startsWith('yes'));
    const { result } = await report(writeTranscript(said));
    const flagged = result.callouts.filter((callout) => callout.unconfirmed === true);
    expect(flagged.map((callout) => callout.heard)).toEqual([
      said.find((line) => line.mark === 'applied-leakage after')!.text,
    ]);
    expect(verdictOf(result, 'applied-leakage')).toBe('fail');
  });

  it('reads numerals and sentence marks as they are written', async () => {
    const written = transcriptOf(ENGINE_31)
      .replace(/primary seven five, secondary seven four/, 'Primary 75 psi, secondary 74.')
      .replace(/walk round complete/, 'Walkround complete!');
    const { result } = await report(written);
    expect(verdictOf(result, 'pre-start-fill')).toBe('pass');
  });

  it('keeps an export whose log verifies and replays to the same verdict', async () => {
    mkdirSync(join(folder, 'kept'), { recursive: true });
    const { result } = await report(transcriptOf(LADDER_36), '--out', join(folder, 'kept'));
    const log = readLog(readFileSync(join(folder, 'kept', 'log.json'), 'utf8'), 'log.json');
    if (!log.ok) throw new Error(log.problem.what);
    expect((await verifyLog(log.value)).faults).toEqual([]);
    expect(replay(checkEvents(log.value)).verdict).toBe(result.verdict);
    expect(readFileSync(join(folder, 'kept', 'report.html'), 'utf8')).toContain(result.verdict.toUpperCase());
    expect(readFileSync(join(folder, 'kept', 'transcript.vtt'), 'utf8')).toContain('straight stop');
  });

  it('prints a table of at most 100 columns with the reason of every step', async () => {
    const { status, out } = await hear({ 'cab.vtt': transcriptOf(LADDER_36) }, 'cab.vtt');
    expect(status).toBe(1);
    expect(
      Math.max(
        ...out
          .split('\n')
          .filter((line) => !line.includes(folder))
          .map((line) => line.length),
      ),
    ).toBeLessThanOrEqual(100);
    expect(out).toMatch(/Applied leakage .* fail/);
    expect(out).toMatch(/Secondary dropped 10 psi/);
    expect(out).toMatch(/Whole check: FAIL/);
    expect(out).not.toMatch(/\bsafe\b/);
  });
});

describe('hear --listen', () => {
  it('prints one JSON line per utterance with what it means under the rule', async () => {
    const text = writeTranscript([
      { at: 500, end: 3000, text: 'primary one oh five, secondary niner five' },
      { at: 4000, end: 5000, text: 'cut out' },
    ]);
    const { status, out } = await hear({ 'cab.vtt': text }, 'cab.vtt', '--listen', 'readings');
    const [first, second] = out.split('\n').map((line) => JSON.parse(line) as unknown);
    expect(status).toBe(0);
    expect(first).toEqual({
      at: 500,
      end: 3000,
      heard: 'primary one oh five, secondary niner five',
      confidence: 1,
      meaning: { cues: [], reading: { primary: { value: 105, unit: 'psi' }, secondary: { value: 95, unit: 'psi' } } },
    });
    expect(second).toMatchObject({ heard: 'cut out', meaning: null });
  });
});

describe('hear on unusable input', () => {
  const good = { 'cab.vtt': transcriptOf(ENGINE_31) };
  const plan = (change: object): string =>
    JSON.stringify({
      ...(JSON.parse(readFileSync('src/check/plans/full-cab-check.json', 'utf8')) as object),
      ...change,
    });

  const { steps } = JSON.parse(plan({})) as { steps: readonly { kind: string }[] };
  const withoutHolds = plan({ steps: steps.filter(({ kind }) => kind !== 'hold') });

  it.each([
    ['no file', {}, [], /no file was named/],
    ['a missing file', {}, ['/nowhere/cab.wav'], /\/nowhere\/cab\.wav: there is no such file/],
    ['a folder', {}, ['tests'], /folder/],
    ['another kind of file', { 'cab.txt': 'hello' }, ['cab.txt'], /\.wav or a \.vtt/],
    ['an empty recording', { 'cab.wav': '' }, ['cab.wav'], /cab\.wav.*empty/],
    ['something else called .wav', { 'cab.wav': 'not sound at all' }, ['cab.wav'], /not a WAV/],
    ['a broken transcript', { 'cab.vtt': 'WEBVTT\n\n00:99.000 --> 00:01\nhello\n' }, ['cab.vtt'], /cab\.vtt:3/],
    ['an unknown plan', good, ['cab.vtt', '--plan', 'yearly'], /no plan “yearly”.*full-cab-check/],
    [
      'a plan that is no JSON',
      { ...good, 'plan.json': '{"a": ' },
      ['cab.vtt', '--plan', 'plan.json'],
      /plan\.json: not JSON/,
    ],
    [
      'a plan with a mistake',
      { ...good, 'plan.json': plan({ steps: [] }) },
      ['cab.vtt', '--plan', 'plan.json'],
      /plan\.json.*steps/,
    ],
    [
      'a plan that has the name of a built-in one and lacks its holds',
      { ...good, 'plan.json': withoutHolds },
      ['cab.vtt', '--plan', 'plan.json'],
      /plan\.json: this plan differs from the built-in one whose name it has.*full-cab-check.*Give it an id and a title/,
    ],
    [
      'a profile with a mistake',
      { ...good, 'p.json': '{"format": "two-needles-limits"}' },
      ['cab.vtt', '--profile', 'p.json'],
      /p\.json/,
    ],
    [
      'a rig with a mistake',
      { ...good, 'r.json': '{"id": "e", "name": "E", "unit": "bar"}' },
      ['cab.vtt', '--rig', 'r.json'],
      /r\.json, unit: .*bar/,
    ],
    ['an unknown option', good, ['cab.vtt', '--fast'], /--fast/],
    ['an unknown engine', good, ['cab.vtt', '--engine', 'ear'], /no engine “ear”/],
    ['an unknown rule', good, ['cab.vtt', '--listen', 'poetry'], /no public grammar rule “poetry”/],
    ['two files', good, ['cab.vtt', 'cab.vtt'], /one file at a time/],
  ] as [string, Record<string, string>, string[], RegExp][])(
    'refuses %s with status 2 and one line',
    async (_case, files, argv, line) => {
      const { status, out, err } = await hear(files, ...argv);
      expect(status).toBe(2);
      expect(err).toMatch(line);
      expect(err).not.toContain('\n');
      expect(out).toBe('');
    },
  );
});
