import { readFileSync } from 'node:fs';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { replay } from '../../src/check/machine.ts';
import morningCheck from '../../src/check/plans/morning-check.json' with { type: 'json' };
import type { Plan } from '../../src/check/plan.ts';
import { view } from '../../src/check/view.ts';
import { cachedFlite } from '../../src/cli/assets/cached-flite.ts';
import { QUIET_CAB } from '../../src/cli/operator/operator-recording.ts';
import { mixTrack, speechEdges } from '../../src/cli/operator/operator-sound.ts';
import { writeWav } from '../../src/hearing/wav.ts';
import { SAMPLE_RATE, type Ms } from '../../src/units/time.ts';
import { enterCab, serveApp, startCheck, storedEvents, type Cab } from '../support/cab.ts';

/** What the demo may take; our own target. */
const MOST_DEMO_MS = 90_000;
/** Words that are in no clip. */
const OWN_BRIEF = 'Walk once around with a lantern, and look behind the tailboard.';

/** What is called by voice, and how long before it nothing is said: the page opens the microphone and says its brief. */
const CALLED = ['engine started', 'governor cut out', 'primary one two two, secondary one two one'];
const LEAD: Ms = 12_000;
const BREATH: Ms = 3_000;

let cab: Cab;

async function called(): Promise<Uint8Array> {
  const flite = cachedFlite();
  const clips: { at: Ms; samples: Float32Array }[] = [];
  let at = LEAD;
  for (const text of CALLED) {
    const { samples, rate } = await flite.speak(text, 'rms');
    const { onset, end } = speechEdges(samples, rate);
    clips.push({ at: at - onset, samples });
    at += end - onset + BREATH;
  }
  return writeWav(mixTrack(clips, at + LEAD, QUIET_CAB), SAMPLE_RATE);
}

/** Every sound that the page plays is noted by its length, in s. */
const NOTED = `{
  const start = AudioBufferSourceNode.prototype.start;
  globalThis.played = [];
  AudioBufferSourceNode.prototype.start = function (...when) {
    globalThis.played.push(this.buffer?.duration ?? 0);
    return start.apply(this, when);
  };
}`;

const played = (): Promise<number[]> => cab.page.evaluate<number[]>('globalThis.played');

/** The first visit, and then no network and no server. */
beforeAll(async () => {
  const server = await serveApp();
  cab = await enterCab({
    address: server.address,
    sound: writeWav(new Float32Array(SAMPLE_RATE), SAMPLE_RATE),
    settings: { operator: 'A. Okafor', talk: 'full' },
    prepare: async (page) => {
      await page.addInitScript(NOTED);
    },
  });
  await cab.page.getByRole('heading', { name: 'Ready for offline' }).waitFor();
  await cab.page.getByRole('button', { name: /Keep the synthesiser/ }).click();
  await cab.page.getByText('The synthesiser is kept.').waitFor();
  await cab.context.setOffline(true);
  await server.close();
  await cab.page.reload();
});
afterAll(() => cab.close());

describe('with the network cut after the first visit', { timeout: 5 * 60_000 }, () => {
  it('says that it is ready, and what of it is kept', async () => {
    await cab.page.getByRole('heading', { name: 'Ready for offline' }).waitFor();
    await cab.page.getByText('Texts of your own plans are spoken offline, too.').waitFor();
  });

  it('plays the demo: two voices, the leak found, in time', async () => {
    const { page } = cab;
    await page.getByRole('button', { name: 'Hear a demo check' }).click();
    await page.locator('tn-check-screen').waitFor();
    const began = performance.now();
    await page.getByRole('heading', { name: 'Static leakage failed' }).waitFor();
    await page.getByRole('heading', { name: /Demo check: fail/ }).waitFor();
    const took = performance.now() - began;
    console.log(`The demo took ${(took / 1000).toFixed(0)} s.`);
    expect(took).toBeLessThan(MOST_DEMO_MS);
    expect((await played()).length).toBeGreaterThan(16);
    await page.getByRole('button', { name: 'Back to the start' }).click();
  });

  it('does a check by hand, and shows it among the logs', async () => {
    const { page } = cab;
    await startCheck(page, { rig: 'Engine 31' });
    for (const cue of ['Chocks set', 'Walk round complete', 'Mirrors set', 'Ignition on'])
      await page.getByRole('button', { name: cue }).click();
    await page.getByText('Pre-start fill', { exact: true }).waitFor();
    await page.getByRole('button', { name: 'Stop', exact: true }).click();
    await page.getByRole('button', { name: 'Yes, stop' }).click();
    await page.getByRole('button', { name: 'Back to the start' }).click();
    await page.evaluate("location.hash = '#logs'");
    await page.locator('tn-log-list').getByText('Engine 31').first().waitFor();
  });

  it('hears a check by voice, and judges it', async () => {
    const { page } = cab;
    await page.goto(`${cab.address}#`);
    await cab.setSound(await called());
    const steps = morningCheck.steps.filter(({ id }) => id === 'governor-cut-out');
    const spoken = JSON.stringify({ ...morningCheck, id: 'spoken', title: 'By voice', steps });
    await page
      .getByLabel('Import a plan')
      .setInputFiles({ name: 'spoken.json', mimeType: 'application/json', buffer: Buffer.from(spoken) });
    await startCheck(page, { rig: 'Engine 31', plan: 'spoken', limits: 'fire-practice' });
    await page.getByRole('button', { name: 'Back to the start' }).waitFor({ timeout: 120_000 });
    const events = await storedEvents(page);
    const heard = events.flatMap((event) => (event.type === 'callout' && event.meaning ? [event.heard] : []));
    expect(heard).toEqual(CALLED.map((text) => text.replace(',', '')));
    expect(view(replay(events)).verdict).toBe('pass');
    await page.getByRole('button', { name: 'Back to the start' }).click();
  });

  it('rehearses', async () => {
    const { page } = cab;
    await page.evaluate("location.hash = '#rehearse'");
    await page.locator('input[name=trainee]').fill('P. Serrano');
    await page.getByRole('button', { name: 'Start the rehearsal' }).click();
    await page.locator('tn-rehearsal-run').waitFor();
    await page.getByRole('button', { name: 'Stop', exact: true }).click();
    await page.getByRole('button', { name: 'Yes, stop' }).click();
    await page.locator('tn-score-sheet').waitFor();
  });

  it('takes the tour: its tones, its hold, its last page', async () => {
    const { page } = cab;
    await page.goto(`${cab.address}#rehearse/tour`);
    // From the score sheet of the rehearsal before, the address is not followed.
    await page.reload();
    await page.getByRole('button', { name: 'Next' }).click();
    const before = (await played()).length;
    await page.getByRole('button', { name: 'Play the tone: call the needles now' }).click();
    await expect.poll(async () => (await played()).length).toBeGreaterThan(before);
    await page.getByRole('button', { name: 'Next' }).click();
    await page.getByRole('button', { name: 'Do the hold' }).click();
    await page.locator('tn-rehearsal-run').waitFor();
    await page.getByRole('button', { name: 'Stop', exact: true }).click();
    await page.getByRole('button', { name: 'Yes, stop' }).click();
    await page.getByRole('heading', { name: 'What the verdict means' }).waitFor();
    await page.getByRole('button', { name: 'To the start' }).click();
    await page.getByRole('button', { name: 'Hear a demo check' }).waitFor();
  });

  it('speaks the words of a plan of one’s own', async () => {
    const { page } = cab;
    const plan = JSON.parse(readFileSync('src/check/plans/full-cab-check.json', 'utf8')) as Plan;
    const own = {
      ...plan,
      id: 'own',
      title: 'Our own',
      steps: plan.steps.map((step, at) => (at === 0 ? { ...step, brief: OWN_BRIEF } : step)),
    };
    await page.goto(`${cab.address}#`);
    await page.reload();
    await page
      .getByLabel('Import a plan')
      .setInputFiles({ name: 'own.json', mimeType: 'application/json', buffer: Buffer.from(JSON.stringify(own)) });
    await startCheck(page, { rig: 'Engine 31', plan: 'own' });
    // Four seconds of speech at least, for fifteen syllables: longer than any tone.
    await expect.poll(async () => Math.max(...(await played())), { timeout: 30_000 }).toBeGreaterThan(2.5);
    expect(await page.getByText('Read this:').count()).toBe(0);
  });
});
