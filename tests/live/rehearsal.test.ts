import type { Page } from 'playwright-core';
import { describe, expect, it } from 'vitest';
import ladder from '../../src/airsystem/scenarios/ladder-36-leaking.json' with { type: 'json' };
import { readScenario } from '../../src/airsystem/scenario.ts';
import plan from '../../src/check/plans/morning-check.json' with { type: 'json' };
import { enterCab, serveApp } from '../support/cab.ts';
import { SpokenTrainee } from './trainee.ts';

/**
 * The demo scenario of the leaking ladder with nearly full reservoirs, and the morning check without the steps that need fanning: filling
 * and fanning in real time would take minutes. Leak, hold of 60 s and limits are those of the product.
 */
const SCENARIO = {
  ...ladder,
  id: 'ladder-36-leaking-full',
  title: 'Ladder 36 leaking, nearly full',
  startPsi: { primary: 122, secondary: 122 },
};
const STEPS = ['approach', 'governor-cut-out', 'static-leakage', 'service-brake-test'];
const PLAN = {
  ...plan,
  id: 'leak-rehearsal',
  title: 'Leak rehearsal',
  steps: plan.steps.filter(({ id }) => STEPS.includes(id)),
};
const HOLD_MS = 60_000;

describe('a rehearsal by voice', () => {
  it(
    'on the leaking Ladder 36: a trainee calls the leak, and the coach has nothing to find',
    { timeout: 5 * 60_000 },
    async () => {
      const { wav, seconds } = await speakRehearsal();
      const server = await serveApp();
      const cab = await enterCab({ address: server.address, sound: wav, settings: { voice: false } });
      try {
        const { page } = cab;
        await page.getByLabel('Import a plan').setInputFiles(jsonFile('plan.json', PLAN));
        await page.getByRole('link', { name: 'Rehearse' }).click();
        await page.getByLabel('Import a scenario').setInputFiles(jsonFile('scenario.json', SCENARIO));
        await page.getByLabel('Trainee').fill('P. Serrano');
        await page.locator('select[name=planId]').selectOption(PLAN.id);
        await page.getByRole('button', { name: 'Start the rehearsal' }).click();
        // From here on nothing is touched.
        await page
          .getByRole('heading', { name: /^Score/ })
          .first()
          .waitFor({ timeout: (seconds + 20) * 1000 })
          .catch(async () => {
            throw new Error(
              `The rehearsal did not end.\n${await page.locator('tn-rehearsal-run .columns').innerText()}`,
            );
          });
        const sheet = await page.locator('tn-score-sheet main').innerText();
        const [kept] = await keptRehearsals(page);
        expect(sheet).toContain('Nothing to find');
        expect(kept).toMatchObject({
          trainee: 'P. Serrano',
          scenario: SCENARIO.id,
          level: 'told',
          kinds: [],
          score: 100,
        });
        expect(sheet).toMatch(/✓ called\s+A leak of 5 psi a minute in the secondary circuit, at all times\./);
        expect(sheet).toMatch(/Static leakage\s+✕ fail\s+100/);
        expect(cab.complaints).toEqual([]);
      } finally {
        await cab.close();
        await server.close();
      }
    },
  );
});

/** The whole rehearsal as it is said; see `SpokenTrainee` on how it agrees with the app's own cab. */
async function speakRehearsal(): Promise<{ readonly wav: Uint8Array<ArrayBuffer>; readonly seconds: number }> {
  const scenario = readScenario(SCENARIO, 'scenario.json');
  if (!scenario.ok) throw new Error(scenario.problem.what);
  const trainee = await SpokenTrainee.enter(scenario.value, 'rms');
  for (const cue of ['chocks set', 'walk round complete', 'ignition on', 'engine started']) await trainee.say(cue);

  trainee.until(() => trainee.isFull);
  // Later than edges of words and the moment of the start make it, sooner than the coach calls late.
  trainee.wait(1_200);
  await trainee.say('governor cut out');
  await trainee.needles();

  for (const cue of ['engine off', 'brakes released']) await trainee.say(cue);
  trainee.wait(14_000);
  await trainee.say('settled');
  const began = await trainee.needles();
  trainee.wait(began + HOLD_MS + 1_000 - trainee.now);
  await trainee.needles();
  // Needles that fail the step are asked.
  await trainee.say("yes that's right");

  // Nobody drives on a failed check.
  await trainee.say('skip this step, out of service');
  return trainee.recording();
}

function jsonFile(name: string, value: unknown): { name: string; mimeType: string; buffer: Buffer } {
  return { name, mimeType: 'application/json', buffer: Buffer.from(JSON.stringify(value)) };
}

/** The past rehearsals in the page's own database. */
async function keptRehearsals(page: Page): Promise<readonly Record<string, unknown>[]> {
  return page.evaluate(async () => {
    const request = <T>(work: IDBRequest<T>): Promise<T> =>
      new Promise((resolve, reject) => {
        work.onsuccess = () => resolve(work.result);
        work.onerror = () => reject(work.error ?? new Error('the database did not answer'));
      });
    const database = await request(indexedDB.open('two-needles'));
    const rows = await request(database.transaction('rehearsals').objectStore('rehearsals').getAll());
    database.close();
    return rows as never;
  });
}
