import { join } from 'node:path';
import type { Page } from 'playwright-core';
import { startCheck } from '../support/cab.ts';

/** How long a hold by hand is let run. */
const HOLD_MS = 61_000;

export interface Scene {
  /** Of its files, in kebab case. */
  readonly name: string;
  /** The whole length of the page, not only what is in sight; a screen that must not scroll is shown as it is seen. */
  readonly whole?: true;
  /** From the scene before to this one. */
  readonly go: (page: Page) => Promise<void>;
}

/** What needles take to move, at least, in ms; those that come at once are asked about. */
const MOVING_MS = 6_000;

/** A person does not press a button of the next step within this of one at the same place. */
const THUMB_MS = 500;

async function press(page: Page, ...names: readonly string[]): Promise<void> {
  for (const name of names) {
    await page.getByRole('button', { name, exact: true }).first().click();
    await new Promise((lifted) => setTimeout(lifted, THUMB_MS));
  }
}

/** On the pad, which opens by itself where needles are all that is waited for. */
async function needles(page: Page, primary: number, secondary: number): Promise<void> {
  const pad = page.locator('tn-reading-entry');
  await page.clock.runFor(100);
  // What opens by itself comes with the next frames: pressing then would close it.
  const came = await pad.waitFor({ timeout: THUMB_MS }).then(
    () => true,
    () => false,
  );
  if (!came) await press(page, 'Enter the needles');
  await page.locator('input[name=primary]').fill(String(primary));
  await page.locator('input[name=secondary]').fill(String(secondary));
  await page.getByRole('button', { name: /Take these needles/ }).click();
}

async function toPlace(page: Page, hash: string): Promise<void> {
  await page.evaluate(`location.hash = ${JSON.stringify(hash)}`);
  await page.locator('h1').first().waitFor();
}

/** A walk through every screen: what each scene shows follows from the scenes before it. */
export const SCENES: readonly Scene[] = [
  { name: 'start-first-visit', whole: true, go: (page) => page.locator('h1').first().waitFor() },
  { name: 'settings', go: (page) => press(page, 'Settings') },
  {
    name: 'rig-form',
    go: async (page) => {
      await press(page, 'Close', 'Add a rig');
    },
  },
  { name: 'check-first-step', go: (page) => begin(page) },
  {
    name: 'check-more',
    go: (page) => press(page, 'More'),
  },
  {
    name: 'check-pad',
    go: async (page) => {
      await page.keyboard.press('Escape');
      await press(page, 'Chocks set', 'Walk round complete', 'Mirrors set', 'Ignition on', 'Enter the needles');
    },
  },
  {
    name: 'check-needles',
    go: async (page) => {
      await press(page, 'Close the pad');
      await needles(page, 75, 75);
      await press(page, 'Engine started');
      await page.clock.runFor(MOVING_MS);
      await press(page, 'Cut out');
      await needles(page, 124, 125);
    },
  },
  {
    name: 'check-hold',
    go: async (page) => {
      await page.clock.runFor(MOVING_MS);
      await press(page, 'Cut in');
      await needles(page, 100, 101);
      await page.clock.runFor(MOVING_MS);
      await press(page, 'Cut out');
      await needles(page, 124, 124);
      await press(page, 'Engine off', 'Brakes released', 'Settled');
      await needles(page, 120, 121);
      await page.clock.runFor(20_000);
    },
  },
  {
    name: 'check-hold-ended',
    go: (page) => page.clock.runFor(HOLD_MS - 20_000),
  },
  {
    name: 'check-question',
    go: async (page) => {
      await needles(page, 120, 120);
      await press(page, 'Brake applied', 'Settled');
      await needles(page, 112, 113);
      await page.clock.runFor(HOLD_MS);
      await needles(page, 112, 106);
    },
  },
  { name: 'check-after-fail', go: (page) => press(page, 'Yes') },
  { name: 'check-paused', go: (page) => press(page, 'Pause') },
  { name: 'check-stopped', whole: true, go: (page) => press(page, 'Resume', 'Stop', 'Yes, stop') },
  {
    name: 'logs-one',
    whole: true,
    go: async (page) => {
      await press(page, 'Back to the start');
      await toPlace(page, '#logs');
    },
  },
  {
    name: 'logs',
    whole: true,
    go: async (page) => {
      await press(page, 'Load twelve made-up weeks');
      await page.getByRole('button', { name: 'Remove the made-up checks' }).waitFor();
    },
  },
  {
    name: 'log-detail',
    whole: true,
    go: async (page) => {
      await page.locator('tn-log-list a').filter({ hasText: 'Engine 31' }).first().click();
      await page.getByRole('heading', { name: 'Transcript' }).first().waitFor();
    },
  },
  { name: 'rehearse', whole: true, go: (page) => toPlace(page, '#rehearse') },
  {
    name: 'rehearsal',
    go: async (page) => {
      await page.locator('input[name=trainee]').fill('P. Serrano');
      await press(page, 'Start the rehearsal');
    },
  },
  {
    name: 'score-sheet',
    whole: true,
    go: async (page) => {
      await page.clock.runFor(5000);
      await press(page, 'Stop', 'Yes, stop');
    },
  },
  { name: 'rigs', whole: true, go: (page) => leave(page, '#rigs') },
];

async function begin(page: Page): Promise<void> {
  await page.keyboard.press('Escape');
  await startCheck(page, { rig: 'Engine 31', plan: 'full-cab-check', limits: 'fire-practice' });
  await page.locator('tn-check-screen').waitFor();
}

async function leave(page: Page, hash: string): Promise<void> {
  await page.reload();
  await toPlace(page, hash);
}

/** Where the pictures go; made anew each time. */
export const FOLDER = join('reports', 'shots');
