import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { afterAll, describe, expect, it } from 'vitest';
import { rehearseCommand } from '../../../src/cli/rehearse/rehearse-command.ts';

const HEALTHY = fileURLToPath(new URL('../../../src/airsystem/scenarios/engine-31-healthy.json', import.meta.url));
const folder = mkdtempSync(join(tmpdir(), 'two-needles-rehearse-'));
afterAll(() => rmSync(folder, { recursive: true }));

async function rehearse(...argv: string[]): Promise<{ status: number; out: string; err: string }> {
  const out: string[] = [];
  const err: string[] = [];
  const status = await rehearseCommand(argv, { out: (text) => out.push(text), err: (text) => err.push(text) });
  return { status, out: out.join('\n'), err: err.join('\n') };
}

function file(name: string, content: string): string {
  const path = join(folder, name);
  writeFileSync(path, content);
  return path;
}

describe('the command rehearse', { timeout: 600_000 }, () => {
  it('prints the score sheet, and ends with 0 when all was called right', async () => {
    const { status, out, err } = await rehearse(HEALTHY);
    expect([status, err]).toEqual([0, '']);
    expect(out).toMatch(/^Engine 31 in order · Engine 31 · Silent examiner\n/);
    expect(out).toMatch(/Static leakage +100 +pass/);
    expect(out).toMatch(/Whole rehearsal +100 +pass, 1\d:\d\d simulated/);
    expect(out).toContain('The rig had no fault.');
  });

  it('prints what was found, with its moment, and ends with 1', async () => {
    const { status, out } = await rehearse(HEALTHY, '--omit', 'omit-belts,late-buzzer');
    expect(status).toBe(1);
    expect(out).toMatch(/\n0\d:\d\d {2}Low-air warning: “buzzer” was called 4\.\d s after/);
    expect(out).toMatch(/\n1\d:\d\d {2}Tug test: A caution was skipped: “belts on” was not called\. \(caution\)/);
  });

  it('prints one JSON object on request', async () => {
    const { out } = await rehearse(HEALTHY, '--json', '--omit', 'omit-chocks');
    expect(JSON.parse(out)).toMatchObject({
      scenario: 'engine-31-healthy',
      level: 'silent',
      verdict: 'pass',
      findings: [{ kind: 'caution', step: 'approach' }],
      faults: [],
    });
  });

  it.each([
    ['no scenario', [], /no scenario was named/],
    ['a file that is not there', [join(folder, 'none.json')], /none\.json: there is no such file/],
    ['no JSON', [file('broken.json', '{')], /broken\.json: not JSON/],
    [
      'an impossible scenario',
      [file('odd.json', '{"format":"two-needles-scenario","version":1}')],
      /odd\.json, id: id is missing/,
    ],
    ['an unknown mistake', [HEALTHY, '--omit', 'omit-lunch'], /there is no mistake “omit-lunch”/],
    ['an unknown level', [HEALTHY, '--level', 'loud'], /there is no level “loud”/],
    ['a seed that is none', [HEALTHY, '--seed', '-1.5'], /is no seed|--seed/],
    ['two scenarios', [HEALTHY, HEALTHY], /one scenario at a time/],
    ['an unknown plan', [HEALTHY, '--plan', 'nightly'], /there is no plan “nightly”/],
  ])('refuses %s with one line and 2', async (_, argv, line) => {
    const { status, out, err } = await rehearse(...argv);
    expect([status, out]).toEqual([2, '']);
    expect(err).toMatch(/^rehearse: /);
    expect(err).toMatch(line);
    expect(err).not.toContain('\n');
  });

  it('tells how it is used', async () => {
    const { status, out } = await rehearse('--help');
    expect(status).toBe(0);
    expect(out).toContain('omit-belts');
  });
});
