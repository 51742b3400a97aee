import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { hearCommand } from '../../../src/cli/hear/hear-command.ts';
import type { HearReport, ReportedStep } from '../../../src/cli/hear/hear-report.ts';
import { writeTranscript } from '../../../src/cli/shared/webvtt.ts';
import { ENGINE_31, type Scenario } from '../../../src/rehearsal/synthetic-operator-script.ts';
import { sayScenario } from '../../support/operator.ts';

let folder = '';
beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), 'hear-bad-input-'));
});
afterAll(() => rmSync(folder, { recursive: true }));

/** What `hear` makes of a full cab check of Engine 31 but for `change`, with other words at `mark`. */
async function hear(
  change: Partial<Scenario>,
  { words = {}, holdSeconds = 60 }: { words?: Record<string, string>; holdSeconds?: number } = {},
): Promise<HearReport> {
  const said = sayScenario({ ...ENGINE_31, ...change }, holdSeconds).map((line) => ({
    ...line,
    text: words[line.mark ?? ''] ?? line.text,
  }));
  const file = join(folder, 'check.vtt');
  writeFileSync(file, writeTranscript(said));
  let out = '';
  await hearCommand([file, '--json'], { out: (json) => (out = json), err: () => undefined });
  return JSON.parse(out) as HearReport;
}

function stepOf(report: HearReport, id: string): ReportedStep {
  const step = report.steps.find((each) => each.id === id);
  if (step === undefined) throw new Error(`no step ${id}`);
  return step;
}

describe('what cannot be judged in a transcript', () => {
  it.each<[string, string, () => Promise<HearReport>, RegExp]>([
    [
      'a hold of 5 s',
      'static-leakage',
      () => hear({}, { holdSeconds: 5 }),
      /“brake applied” was called, and the condition is brake pedal free/,
    ],
    ['a hold of 16 min', 'static-leakage', () => hear({}, { holdSeconds: 960 }), /“brake applied” was called/],
    [
      'a rise during a hold',
      'static-leakage',
      () =>
        hear({
          staticHold: [
            [118, 117],
            [121, 117],
          ],
        }),
      /pressure rose: primary by 3 psi .* repeat the hold with the engine off/,
    ],
    [
      'mixed units',
      'static-leakage',
      () => hear({}, { words: { 'static-leakage after': 'both eight hundred kilopascals' } }),
      /mix psi and kPa; call all of a test in one unit/,
    ],
    [
      'a lower needle that never reaches the upper pressure',
      'build-up',
      () => hear({ finalFill: [125, 95] }, { words: { 'build-up upper': 'primary one hundred, secondary ninety' } }),
      /both needles were not called at 100 psi/,
    ],
  ])('%s', async (_what, id, run, reason) => {
    const report = await run();
    expect(stepOf(report, id).verdict).toBe('not judged');
    expect(stepOf(report, id).reason).toMatch(reason);
    expect(report.verdict).toBe('incomplete');
    // NaN and infinity are null in JSON.
    expect(JSON.stringify(report.steps.map(({ figures }) => figures))).not.toContain('null');
  });

  it('what the rig settings do not say is named, with the setting that would allow it', async () => {
    const missing = stepOf(await hear({}), 'build-up').missing ?? [];
    expect(missing.join()).toMatch(/delivered air needs the volumes of all reservoirs in the rig settings/);
  });
});

describe('what others said', () => {
  it('is left out, and told of', async () => {
    const file = join(folder, 'helper.vtt');
    const said = writeTranscript(sayScenario(ENGINE_31, 60));
    writeFileSync(file, `${said}\n59:00.000 --> 59:02.000\n<v Helper>rig moved\n`);
    const told: string[] = [];
    await hearCommand([file], { out: () => undefined, err: (line) => told.push(line) });
    expect(told.join('\n')).toMatch(/helper\.vtt: the cues of other voices are left out: Helper \(1\)/);
  });

  it('after the end of the check is told of', async () => {
    const file = join(folder, 'twice.vtt');
    const said = sayScenario(ENGINE_31, 60);
    const end = Math.max(...said.map((line) => line.end));
    const again = said.map((line) => ({ ...line, at: line.at + end + 10_000, end: line.end + end + 10_000 }));
    writeFileSync(file, writeTranscript([...said, ...again]));
    const told: string[] = [];
    await hearCommand([file], { out: () => undefined, err: (line) => told.push(line) });
    expect(told.join('\n')).toMatch(
      new RegExp(
        `was said from there on is flagged, and only what is bad of it is judged \\(${String(again.length)}\\). Keep each check in a file of its own`,
      ),
    );
  });
});
