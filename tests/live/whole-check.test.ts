import { mkdtemp, rm, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { Page } from 'playwright-core';
import type { PreviewServer } from 'vite';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import type { CheckEvent } from '../../src/check/event.ts';
import { replay } from '../../src/check/machine.ts';
import { view } from '../../src/check/view.ts';
import { hearCommand } from '../../src/cli/hear/hear-command.ts';
import type { OperatorVoice } from '../../src/cli/operator/operator-recording.ts';
import { ENGINE_31, LADDER_36, type Scenario } from '../../src/rehearsal/synthetic-operator-script.ts';
import { enterCab, serveApp, startCheck, storedEvents } from '../support/cab.ts';
import { speakCheck, type OperatorRecording } from './operator.ts';

/** What the needles of the two scenarios must come to against common practice of the fire service: see the profile `fire-practice`. */
const ALL_PASS: Record<string, string> = {
  approach: 'pass',
  'pre-start-fill': 'pass',
  'governor-cut-out': 'pass',
  'governor-cut-in': 'pass',
  refill: 'pass',
  'static-leakage': 'pass',
  'applied-leakage': 'pass',
  'low-air-warning': 'pass',
  'spring-brake-activation': 'pass',
  'build-up': 'pass',
  'final-fill': 'pass',
  'tug-test': 'pass',
  'service-brake-test': 'pass',
};

/** Where somebody could be asked, a rig that failed is not moved; a recording is judged as it was done. */
const STILL_AFTER_FAIL: Record<string, string> = { 'tug-test': 'not judged', 'service-brake-test': 'not judged' };

interface Run {
  readonly title: string;
  readonly scenario: Scenario;
  readonly voice: OperatorVoice;
  readonly holdSeconds: number;
  /** The tool answers aloud, and the operator waits for it. */
  readonly answers: boolean;
  readonly verdicts: Record<string, string>;
  readonly verdict: string;
}

const RUNS: readonly Run[] = [
  {
    title: 'Engine 31, holds of 60 s',
    scenario: ENGINE_31,
    voice: 'rms',
    holdSeconds: 60,
    answers: false,
    verdicts: ALL_PASS,
    verdict: 'pass',
  },
  {
    title: 'Ladder 36, a leak with the brake applied',
    scenario: LADDER_36,
    voice: 'awb',
    // The shortest that a plan may have.
    holdSeconds: 30,
    answers: false,
    verdicts: { ...ALL_PASS, 'applied-leakage': 'fail' },
    verdict: 'fail',
  },
];

/** Edges of holds and windows against the truth in the sound, in ms. */
const EDGE_LIMIT = 60;

let server: (PreviewServer & { address: string }) | undefined;
beforeAll(async () => {
  server = await serveApp();
});
afterAll(() => server?.close());

describe('a whole check by voice, in a browser and in the terminal', () => {
  it.each(RUNS)('$title', { timeout: 15 * 60_000 }, async (run) => {
    const recording = await speakCheck(run.scenario, run);
    const events = await checkInBrowser(run, recording);
    const { results, verdict } = view(replay(events));
    const heard = Object.fromEntries(results.map((result) => [result.id, result.verdict]));
    expect(heard).toEqual(run.verdict === 'fail' ? { ...run.verdicts, ...STILL_AFTER_FAIL } : run.verdicts);
    expect(verdict).toBe(run.verdict);

    expectTrueEdges(
      events.filter((event) => event.type === 'callout'),
      recording,
    );

    const browser = figuresOf(events);
    for (const file of ['check.wav', 'check.vtt'] as const) {
      const told = await hearInTerminal(run, recording, file);
      expect(told.verdict, file).toBe(run.verdict);
      expectTrueEdges(told.callouts, recording);
      expect(told.steps.map(({ id, verdict: each }) => [id, each]).filter(([id]) => id !== 'hand-valve-test')).toEqual(
        Object.entries(run.verdicts),
      );
      for (const { id, figures } of told.steps) {
        for (const [name, { value }] of Object.entries(figures)) {
          // Readings are said, so they must be equal; times come from the sound, or from the cues.
          expect(Math.abs(value - (browser[id]?.[name] ?? NaN)), `${file} ${id} ${name}`).toBeLessThanOrEqual(
            allowed(name, value),
          );
        }
      }
    }
  });
});

/** Readings are said, so they must be equal; a time has two edges, and what is divided by one follows it. */
function allowed(name: string, value: number): number {
  if (name === 'interval' || name === 'buildUpTime') return (2 * EDGE_LIMIT) / 1000;
  const perTime = ['primaryRate', 'secondaryRate', 'leakageFlow', 'deliveredFlow', 'timeToWarning'].includes(name);
  return perTime ? Math.abs(value) * 0.03 : 1e-9;
}

async function checkInBrowser(run: Run, recording: OperatorRecording): Promise<CheckEvent[]> {
  const cab = await enterCab({
    address: server?.address ?? '',
    sound: recording.wav,
    settings: { voice: run.answers, talk: 'short', operator: 'A. Okafor' },
  });
  try {
    await cab.page.getByLabel('Import a plan').setInputFiles(jsonFile('plan.json', recording.plan));
    await cab.page.getByText(`Added and chosen: ${recording.plan.title}.`).waitFor();
    await cab.page.getByLabel('Import limits').setInputFiles(jsonFile('limits.json', recording.profile));
    await cab.page.getByText(`Added and chosen: ${recording.profile.title}.`).waitFor();
    await startCheck(cab.page, { rig: run.scenario.rig.name, plan: recording.plan.id, limits: recording.profile.id });
    await cab.page
      .getByRole('button', { name: 'Back to the start' })
      .waitFor({ timeout: (recording.seconds + 20) * 1000 })
      .catch(async () => {
        throw new Error(`The check did not end.\n${await whereItStood(cab.page)}`);
      });
    expect(cab.complaints).toEqual([]);
    return await storedEvents(cab.page);
  } finally {
    await cab.close();
  }
}

/** What was heard and what the screen says, for whoever reads the failure. */
async function whereItStood(page: Page): Promise<string> {
  const heard = (await storedEvents(page)).map((event) =>
    event.type === 'callout'
      ? `${Math.round(event.at)} ${event.heard} (${event.confidence.toFixed(2)})`
      : `${Math.round(event.at)} ${event.type}`,
  );
  return [...heard, await page.locator('body').innerText()].join('\n');
}

function jsonFile(name: string, value: unknown): { name: string; mimeType: string; buffer: Buffer } {
  return { name, mimeType: 'application/json', buffer: Buffer.from(JSON.stringify(value)) };
}

interface Callout {
  readonly at: number;
  readonly end: number;
  readonly heard: string;
}

interface Told {
  readonly verdict: string;
  readonly callouts: readonly Callout[];
  readonly steps: readonly { id: string; verdict: string; figures: Record<string, { value: number }> }[];
}

async function hearInTerminal(run: Run, recording: OperatorRecording, file: 'check.wav' | 'check.vtt'): Promise<Told> {
  const folder = await mkdtemp(join(tmpdir(), 'hear-'));
  const path = (name: string): string => join(folder, name);
  await writeFile(path('check.wav'), recording.wav);
  await writeFile(path('check.vtt'), recording.vtt);
  await writeFile(path('plan.json'), JSON.stringify(recording.plan));
  await writeFile(path('limits.json'), JSON.stringify(recording.profile));
  await writeFile(path('rig.json'), JSON.stringify(run.scenario.rig));
  const printed: string[] = [];
  const complaints: string[] = [];
  const args = [
    path(file),
    '--plan',
    path('plan.json'),
    '--profile',
    path('limits.json'),
    '--rig',
    path('rig.json'),
    '--json',
  ];
  const status = await hearCommand(args, { out: (text) => printed.push(text), err: (text) => complaints.push(text) });
  await rm(folder, { recursive: true, force: true });
  expect(complaints).toEqual([]);
  expect(status).toBe(run.verdict === 'fail' ? 1 : 0);
  return JSON.parse(printed.join('\n')) as Told;
}

function figuresOf(events: readonly CheckEvent[]): Record<string, Record<string, number>> {
  const { results } = view(replay(events));
  return Object.fromEntries(
    results.map(({ id, result }) => [
      id,
      Object.fromEntries(Object.entries(result.figures).map(([name, figure]) => [name, figure.value])),
    ]),
  );
}

/**
 * The words that open and close holds and the build-up window are where they are in the file, within the limit. The
 * clocks of check and file begin apart, so all times are taken from the middle of how far onsets are apart.
 */
function expectTrueEdges(callouts: readonly Callout[], { truth }: OperatorRecording): void {
  const words = (text: string): string => text.replaceAll(',', '');
  const pairs = truth
    .filter(({ text }) => truth.filter((other) => other.text === text).length === 1)
    .flatMap((utterance) =>
      callouts.filter(({ heard }) => words(heard) === words(utterance.text)).map((callout) => ({ utterance, callout })),
    );
  const apart = pairs.map(({ utterance, callout }) => callout.at - utterance.at).sort((a, b) => a - b);
  const offset = apart[Math.floor(apart.length / 2)] ?? NaN;
  const errors = pairs
    .filter(({ utterance }) => utterance.mark !== undefined)
    .map(({ utterance, callout }) =>
      Math.abs(
        utterance.mark!.endsWith('before') ? callout.end - utterance.end - offset : callout.at - utterance.at - offset,
      ),
    );
  expect(errors.length).toBeGreaterThanOrEqual(6);
  expect(Math.max(...errors), `edge errors in ms: ${errors.map(Math.round).join(', ')}`).toBeLessThanOrEqual(
    EDGE_LIMIT,
  );
}
