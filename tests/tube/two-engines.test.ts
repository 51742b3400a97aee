import { mkdtemp, rm, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, expect, it } from 'vitest';
import fullCabCheck from '../../src/check/plans/full-cab-check.json' with { type: 'json' };
import { hearCommand } from '../../src/cli/hear/hear-command.ts';
import { writeWav } from '../../src/hearing/wav.ts';
import { SAMPLE_RATE } from '../../src/units/time.ts';
import { joined } from '../unit/hearing/signals.ts';
import { quiet, spoken } from '../unit/hearing/vosk/spoken.ts';

/** Two steps of a few callouts. */
const PLAN = {
  ...fullCabCheck,
  id: 'two-bursts',
  title: 'Two bursts',
  steps: fullCabCheck.steps.filter(({ id }) => id === 'low-air-warning' || id === 'spring-brake-activation'),
};

interface Told {
  readonly verdict: string;
  readonly steps: readonly { id: string; verdict: string; figures: Record<string, { value: number }> }[];
  readonly callouts: readonly { at: number; end: number; heard: string }[];
}

let folder = '';
beforeAll(async () => {
  folder = await mkdtemp(join(tmpdir(), 'two-engines-'));
  await writeFile(join(folder, 'plan.json'), JSON.stringify(PLAN));
});
afterAll(() => rm(folder, { recursive: true }));

async function hear(callouts: readonly string[], ...engine: readonly string[]): Promise<Told> {
  const sounds = [quiet(2)];
  for (const text of callouts)
    sounds.push(
      (await spoken(text)).map((sample) => 0.8 * sample),
      quiet(3),
    );
  await writeFile(join(folder, 'check.wav'), writeWav(joined(...sounds), SAMPLE_RATE));
  const printed: string[] = [];
  const complaints: string[] = [];
  const args = [join(folder, 'check.wav'), '--plan', join(folder, 'plan.json'), '--json', ...engine];
  await hearCommand(args, { out: (text) => printed.push(text), err: (text) => complaints.push(text) });
  expect(complaints).toEqual([]);
  return JSON.parse(printed.join('\n')) as Told;
}

it('a recording with a late warning has the same verdicts and figures through both engines, edges within 60 ms', async () => {
  const callouts = [
    'buzzer',
    'primary five one secondary five two',
    'valve popped',
    'primary three zero secondary three two',
  ];
  const embedded = await hear(callouts, '--engine', 'embedded');
  const vosk = await hear(callouts, '--engine', 'vosk');
  expect(vosk.callouts.map(({ heard }) => heard)).toEqual(callouts);
  expect(embedded.callouts.map(({ heard }) => heard)).toEqual(callouts);
  expect(vosk.verdict).toBe(embedded.verdict);
  const judged = ({ steps }: Told): unknown => steps.map(({ id, verdict, figures }) => [id, verdict, figures]);
  expect(judged(vosk)).toEqual(judged(embedded));
  vosk.callouts.forEach(({ at, end }, index) => {
    expect(Math.abs(at - embedded.callouts[index]!.at)).toBeLessThanOrEqual(60);
    expect(Math.abs(end - embedded.callouts[index]!.end)).toBeLessThanOrEqual(60);
  });
});
