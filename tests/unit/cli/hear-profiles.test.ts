import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { hearCommand } from '../../../src/cli/hear/hear-command.ts';
import type { HearReport } from '../../../src/cli/hear/hear-report.ts';
import { writeTranscript } from '../../../src/cli/shared/webvtt.ts';
import type { Verdict } from '../../../src/judging/result.ts';
import { ENGINE_31, fullCabCheckScript, type Scenario } from '../../../src/rehearsal/synthetic-operator-script.ts';
import { layOut } from '../../../src/rehearsal/synthetic-operator.ts';

/*
 * One transcript under many documents: the verdicts differ where the documents do. The dial is read to 1 psi, so a value
 * that is inside by less than that error is marginal (JCGM 100:2008: two readings give ± 0.8 psi, one gives ± 0.6).
 */

let folder = '';
beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), 'hear-profiles-'));
});
afterAll(() => rmSync(folder, { recursive: true }));

/** A full cab check of Engine 31 but for `change`, with holds of exactly 60 s; lines that hold `without` left unsaid. */
function transcript(change: Partial<Scenario>, without = '\n'): string {
  const script = fullCabCheckScript({ ...ENGINE_31, ...change }, { holdSeconds: 60, afterHold: 0 });
  return writeTranscript(
    layOut(
      script.filter(({ text }) => !text.includes(without)),
      { lead: 1000, pause: 1500, speechLength: (text) => text.length * 80 },
    ),
  );
}

async function hear(text: string, ...argv: string[]): Promise<{ status: number; result: HearReport }> {
  const file = join(folder, 'check.vtt');
  writeFileSync(file, text);
  let out = '';
  const status = await hearCommand([file, ...argv, '--json'], { out: (json) => (out = json), err: () => undefined });
  return { status, result: JSON.parse(out) as HearReport };
}

/** The document of each profile, as the printed limits name it. */
const DOCUMENTS = {
  'us-cdl-single': /CDL model manual section 5/,
  'us-cdl-combination': /CDL model manual section 5/,
  'us-cdl-inspection': /section 11/,
  'us-fmvss-121': /49 CFR 571\.121 S5\.1/,
  'nfpa-1911-2007': /NFPA 1911-2007 ch\. 6, via study cards/,
  'california-cdl': /California/,
  'california-cdl-two-vehicles': /California/,
  'california-cdl-three-vehicles': /California/,
  'canada-bc': /ICBC manual/,
  'canada-alberta': /Alberta guide 1877/,
  'canada-ontario': /Ontario MTO handbooks/,
  'canada-ontario-class-a': /Ontario MTO handbooks/,
  'canada-quebec': /C-24\.2 r\. 32/,
  'fire-practice': /common practice of the fire service/,
} as const;

type Row = readonly [profile: keyof typeof DOCUMENTS, verdict: Verdict, says: string];

/** `says`: what the document says of the test; "nothing" where it sets no limit. */
function agrees(what: string, step: string, change: Partial<Scenario>, rows: readonly Row[]): void {
  it.each(rows)(`${what} under %s: %s (%s)`, async (profile, verdict, says) => {
    const { status, result } = await hear(transcript(change), '--profile', profile);
    const judged = result.steps.find(({ id }) => id === step);
    expect(result.profile).toBe(profile);
    expect(judged?.verdict).toBe(verdict);
    const sources = judged?.limits.map(({ source }) => `${source.document} ${source.section ?? ''}`) ?? [];
    if (says === 'nothing') expect(sources).toEqual([]);
    else expect(sources.join()).toMatch(DOCUMENTS[profile]);
    if (verdict === 'fail') expect({ status, whole: result.verdict }).toEqual({ status: 1, whole: 'fail' });
    else expect(result.verdict).not.toBe('fail');
  });
}

describe('hear --profile', () => {
  agrees(
    'static leakage of 2 psi in 60 s',
    'static-leakage',
    {
      staticHold: [
        [120, 120],
        [118, 119],
      ],
    },
    [
      ['us-cdl-single', 'fail', 'less than 2'],
      ['us-cdl-combination', 'pass', 'less than 3'],
      ['us-cdl-inspection', 'marginal', 'older edition: fails above 2'],
      ['california-cdl', 'marginal', 'not more than 2'],
      ['nfpa-1911-2007', 'marginal', 'fails above 2'],
      ['fire-practice', 'marginal', 'at most 2'],
      ['canada-quebec', 'not judged', 'nothing'],
    ],
  );

  agrees(
    'static leakage of 3 psi in 60 s',
    'static-leakage',
    {
      staticHold: [
        [120, 120],
        [119, 117],
      ],
    },
    [
      ['us-cdl-single', 'fail', 'less than 2'],
      ['us-cdl-combination', 'fail', 'less than 3'],
      ['california-cdl', 'fail', 'not more than 2'],
      ['california-cdl-two-vehicles', 'marginal', 'not more than 3'],
      ['california-cdl-three-vehicles', 'pass', 'not more than 5'],
    ],
  );

  agrees(
    'applied leakage of 4 psi (27.6 kPa) in 60 s',
    'applied-leakage',
    {
      appliedHold: [
        [110, 110],
        [107, 106],
      ],
    },
    [
      ['us-cdl-single', 'fail', 'fails above 3'],
      ['us-cdl-combination', 'marginal', 'fails above 4'],
      ['canada-ontario', 'fail', 'class D: at most 21 kPa'],
      ['canada-ontario-class-a', 'marginal', 'class A: at most 28 kPa'],
      ['canada-quebec', 'pass', 'major defect above 40 kPa'],
    ],
  );

  agrees('a low-air warning at 57 psi (393 kPa)', 'low-air-warning', { warning: [57, 59] }, [
    ['us-cdl-single', 'fail', 'before 60, lowest tank'],
    ['us-fmvss-121', 'fail', 'either below 60'],
    ['canada-bc', 'fail', 'at least 60'],
    ['canada-alberta', 'fail', 'by 60'],
    ['us-cdl-inspection', 'pass', 'before 55'],
    ['california-cdl', 'pass', '55 to 75'],
    ['canada-ontario', 'pass', 'at least 380 kPa'],
    ['canada-quebec', 'pass', 'at least 380 kPa'],
  ]);

  agrees('a build-up at fast idle in 45 s', 'build-up', { buildUpSeconds: 45 }, [
    ['us-cdl-single', 'marginal', 'within 45 s at operating rpm'],
    ['fire-practice', 'marginal', 'within 45 s at 1200 rpm'],
  ]);

  agrees('a build-up at fast idle in 46 s', 'build-up', { buildUpSeconds: 46 }, [
    ['us-cdl-single', 'fail', 'within 45 s at operating rpm'],
    ['fire-practice', 'fail', 'within 45 s at 1200 rpm'],
    ['nfpa-1911-2007', 'not judged', 'within 45 s, but at full rpm'],
    ['canada-ontario', 'not judged', 'within 2 min, but at 600 to 900 rpm'],
    ['california-cdl', 'not judged', 'nothing'],
  ]);
});

describe('a build-up in 46 s at the speed that the document asks for', () => {
  const slow = transcript({ buildUpSeconds: 46 }, 'fast idle');

  it('passes in Ontario: within 2 min at 600 to 900 rpm (MTO handbooks)', async () => {
    const { result } = await hear(slow, '--profile', 'canada-ontario', '--plan', 'full-cab-check-at-idle');
    expect(result.steps.find(({ id }) => id === 'build-up-at-idle')?.verdict).toBe('pass');
  });

  it('fails NFPA 1911-2007 ch. 6: 45 s at full rpm (study cards)', async () => {
    const { status, result } = await hear(
      slow,
      '--profile',
      'nfpa-1911-2007',
      '--plan',
      'full-cab-check-at-governed-speed',
    );
    expect(result.steps.find(({ id }) => id === 'build-up-at-governed-speed')?.verdict).toBe('fail');
    expect(status).toBe(1);
  });
});
