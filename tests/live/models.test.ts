import { createHash } from 'node:crypto';
import type { RequestListener } from 'node:http';
import type { Page, Worker } from 'playwright-core';
import type { PreviewServer } from 'vite';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import type { CalloutEvent, CheckEvent } from '../../src/check/event.ts';
import { replay } from '../../src/check/machine.ts';
import fullCabCheck from '../../src/check/plans/full-cab-check.json' with { type: 'json' };
import { view } from '../../src/check/view.ts';
import { writeWav } from '../../src/hearing/wav.ts';
import { buildTinyModel } from '../support/tiny-model/tiny-model.ts';
import { serving } from '../unit/hearing/models/server.ts';
import { quiet, spoken } from '../unit/hearing/vosk/spoken.ts';
import { enterCab, serveApp, startCheck, storedEvents, type Cab } from '../support/cab.ts';

const RATE = 16_000;

/** Two steps whose callouts the tiny model has the words for; the grammar changes between them. */
const PLAN = {
  format: 'two-needles-plan',
  version: 1,
  id: 'two-bursts',
  title: 'Two bursts',
  steps: fullCabCheck.steps.filter(({ id }) => id === 'low-air-warning' || id === 'spring-brake-activation'),
};

/** What the operator says, and the pause before it in seconds: long enough for a busy machine to follow. */
const SCRIPT = [
  ['buzzer', 12],
  ['primary six five secondary six four', 5],
  ['valve popped', 16],
  ['primary three zero secondary three two', 5],
  ['valve popped', 25],
  ['primary three zero secondary three two', 5],
] as const;
/** The last two are said again, as an operator would when nothing was read back. */
const ONCE = 4;

interface Said {
  readonly text: string;
  /** Onset and end in the recording, in ms. */
  readonly at: number;
  readonly end: number;
}

async function record(): Promise<{ wav: Uint8Array; said: Said[] }> {
  const sounds: Float32Array[] = [];
  const said: Said[] = [];
  let at = 0;
  const add = (sound: Float32Array): void => {
    sounds.push(sound);
    at += sound.length;
  };
  for (const [text, pause] of SCRIPT) {
    add(quiet(pause));
    const sound = (await spoken(text)).map((sample) => 0.8 * sample);
    said.push({ text, at: (at * 1000) / RATE, end: ((at + sound.length) * 1000) / RATE });
    add(sound);
  }
  add(quiet(30));
  const samples = new Float32Array(at);
  let from = 0;
  for (const sound of sounds) {
    samples.set(sound, from);
    from += sound.length;
  }
  return { wav: writeWav(samples, RATE), said };
}

/** A file server that allows pages of other origins. */
function offers(archive: Uint8Array): RequestListener {
  return (request, response) => {
    const allow = { 'access-control-allow-origin': '*', 'access-control-allow-headers': 'range' };
    if (request.method === 'OPTIONS') response.writeHead(204, allow).end();
    else response.writeHead(200, { ...allow, 'content-length': archive.length }).end(archive);
  };
}

async function download(page: Page, url: string, sha256: string): Promise<void> {
  const ears = page.getByRole('region', { name: 'Ears' });
  if (!(await ears.getByLabel('Address of the archive').isVisible())) await ears.getByText('Add a model').click();
  await ears.getByLabel('Address of the archive').fill(url);
  await ears.getByLabel(/^SHA-256, if/).fill(sha256);
  await ears.getByRole('button', { name: 'Download', exact: true }).click();
  const allow = ears.getByRole('button', { name: /^Allow / });
  if (!(await allow.isVisible())) return;
  // The page talks to no host that was not confirmed, and is loaded again to talk to one.
  await Promise.all([page.waitForEvent('load'), allow.click()]);
  await ears.getByLabel('Address of the archive').waitFor();
  await download(page, url, sha256);
}

async function untilHeard(page: Page, count: number): Promise<void> {
  const heard = async (): Promise<number> => callouts(await storedEvents(page)).length;
  await expect.poll(heard, { message: 'callouts heard', timeout: 120_000, interval: 250 }).toBe(count);
}

const callouts = (events: readonly CheckEvent[]): CalloutEvent[] =>
  events.filter((event): event is CalloutEvent => event.type === 'callout' && event.meaning !== undefined);

/** Ends the engine's own worker as a browser under memory pressure does: nobody is told. */
async function killEngine(page: Page): Promise<void> {
  const engine = (): Worker | undefined =>
    page.workers().find((worker) => /\/page-worker-[^/]*\.js/.test(worker.url()));
  await expect.poll(engine, { message: 'the engine worker', timeout: 60_000, interval: 250 }).toBeDefined();
  await engine()?.evaluate(() => self.close());
}

/** The settings are those of the cab again in each page that is loaded. */
async function chooseTheModel(page: Page): Promise<void> {
  await page.getByRole('heading', { name: 'tiny-model' }).waitFor();
  await page.getByLabel('Always Vosk with tiny-model').check();
  await page.getByText('The next check is heard by the Vosk ear with tiny-model.').waitFor();
}

async function startTwoBursts(page: Page): Promise<void> {
  const plan = { name: 'plan.json', mimeType: 'application/json', buffer: Buffer.from(JSON.stringify(PLAN)) };
  await page.getByLabel('Import a plan').setInputFiles(plan);
  await startCheck(page, { rig: 'Engine 31', plan: PLAN.id });
}

describe('a model for the Vosk ear, in a browser', () => {
  let server: (PreviewServer & { address: string }) | undefined;
  let cab: Cab;
  let recording: { wav: Uint8Array; said: Said[] };
  let archive: Uint8Array;
  let sha256: string;

  beforeAll(async () => {
    recording = await record();
    archive = await buildTinyModel();
    sha256 = createHash('sha256').update(archive).digest('hex');
    server = await serveApp();
    cab = await enterCab({
      address: server.address,
      sound: recording.wav,
      settings: { voice: false, operator: 'A. Okafor' },
    });
  }, 120_000);
  afterAll(async () => {
    await cab.close();
    await server?.close();
  });

  it('hears a check without network, and outlives the death of its worker', async () => {
    const { page, context } = cab;
    await serving(offers(archive), async (origin) => {
      await download(page, `${origin}/tiny.tgz`, sha256);
      await page.getByRole('status').filter({ hasText: 'Added: tiny-model' }).waitFor();
    });
    await page.evaluate(async () => {
      await navigator.serviceWorker.ready;
    });
    await context.setOffline(true);
    await page.reload();
    await chooseTheModel(page);
    await startTwoBursts(page);
    await page.getByText('Heard by the Vosk ear with tiny-model.').waitFor();
    await untilHeard(page, 2);
    await killEngine(page);
    await page.getByRole('button', { name: 'Back to the start' }).waitFor({ timeout: 120_000 });

    const events = await storedEvents(page);
    const heard = callouts(events);
    expect(heard.map(({ heard: text, engine }) => [text, engine])).toEqual(
      SCRIPT.slice(0, ONCE).map(([text]) => [text, 'vosk']),
    );
    // Each word has its time: onset and end of every callout agree with the recording, but for the moment it began.
    const offset = heard[0]!.at - recording.said[0]!.at;
    heard.forEach((callout, index) => {
      expect(Math.abs(callout.at - offset - recording.said[index]!.at), callout.heard).toBeLessThanOrEqual(60);
      expect(Math.abs(callout.end - offset - recording.said[index]!.end), callout.heard).toBeLessThanOrEqual(60);
    });
    // It is missed by itself, not by the callout that would have needed it.
    const restarts = events.filter(({ type }) => type === 'engine-restarted');
    expect(restarts).toHaveLength(1);
    expect(restarts[0]!.at).toBeGreaterThan(heard[1]!.end);
    expect(restarts[0]!.at).toBeLessThan(heard[2]!.at);
    expect(events.filter(({ type }) => type === 'interrupted')).toEqual([]);
    const { verdict, results } = view(replay(events));
    // The lower needle governs, and the machine has the words as they were said.
    expect(
      results.map(({ id, result }) => [id, result.figures.warningAt?.value ?? result.figures.activationAt?.value]),
    ).toEqual([
      ['low-air-warning', 64],
      ['spring-brake-activation', 30],
    ]);
    // The model has no words for how engine and brakes stand, and where nobody says that, nothing passes.
    expect(verdict).toBe('incomplete');
  });

  it('hands over to the app’s own ear when it is lost in the middle of a check', async () => {
    const { page } = cab;
    await page.reload();
    await chooseTheModel(page);
    await startTwoBursts(page);
    await untilHeard(page, 2);
    await page.evaluate(() => caches.delete('two-needles-models'));
    await killEngine(page);
    await page.getByText('Heard by the Two Needles ear.').waitFor({ timeout: 60_000 });
    await page.getByRole('button', { name: 'Back to the start' }).waitFor({ timeout: 120_000 });
    const events = await storedEvents(page);
    const trouble = events.filter(({ type }) => type === 'interrupted' || type === 'resumed');
    expect(trouble.map((event) => (event.type === 'interrupted' ? event.why : event.type))).toEqual([
      'engine-lost',
      'resumed',
    ]);
    const heard = callouts(events);
    expect(heard.slice(0, 2).map(({ engine }) => engine)).toEqual(['vosk', 'vosk']);
    expect(view(replay(events)).verdict).toBe('incomplete');
  });
});
