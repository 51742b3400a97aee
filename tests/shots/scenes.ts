import { join } from 'node:path';
import type { Locator, Page } from 'playwright-core';
import { startCheck } from '../support/cab.ts';

/** What stands for a photo. */
const PICTURE = join('public', 'check-screen.png');

/** How long a hold by hand is let run. */
const HOLD_MS = 61_000;

export interface Scene {
  /** Of its files, in kebab case. */
  readonly name: string;
  /** The whole length of the page, not only what is in sight; a screen that must not scroll is shown as it is seen. */
  readonly whole?: true;
  /** What is scrolled to, where that is not the top. */
  readonly at?: string;
  /** A page to be printed: in one theme and text size. */
  readonly paper?: true;
  /** From the scene before to this one. */
  readonly go: (page: Page) => Promise<void>;
  /** The page that this one opened, which is shown instead. */
  readonly opened?: (page: Page) => Page | undefined;
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

/** A check, a rehearsal, and what is kept of them. */
const CHECK: readonly Scene[] = [
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

/** The list of a place: half done, with defects of both classes, and the next check that begins with them. */
const ITEMS: readonly Scene[] = [
  {
    name: 'items-place',
    go: (page) => begin(page, 'engine-compartment'),
  },
  {
    name: 'items-half',
    go: async (page) => {
      for (const title of ['Oil level', 'Coolant level', 'Drive belts']) await press(page, `${title}: good`);
    },
  },
  { name: 'items-ways', at: '.ways', go: (page) => press(page, 'Compressor belt: bad …') },
  {
    name: 'items-bad',
    at: 'li.bad',
    go: async (page) => {
      await press(page, 'frayed out of service', 'Coolant hoses: bad …', 'leaking report it');
    },
  },
  {
    name: 'items-photo',
    at: 'tn-item-photos',
    go: async (page) => {
      await takePhoto(page, 'Compressor belt', PICTURE);
      await page.locator('tn-photo img').first().waitFor();
      await takePhoto(page, 'Coolant hoses', { name: 'hose.txt', mimeType: 'text/plain', buffer: Buffer.from('hose') });
      await page.getByText('This file is no picture').first().waitFor();
    },
  },
  { name: 'items-passed-over', go: (page) => press(page, 'Next place') },
  { name: 'items-log', whole: true, go: (page) => press(page, 'The log: report, export, note a repair') },
  { name: 'board', whole: true, go: (page) => toPlace(page, '#') },
  { name: 'items-open-defects', go: (page) => begin(page, 'engine-compartment') },
  {
    name: 'items-beside-a-step',
    go: async (page) => {
      await press(page, 'Stop', 'Yes, stop', 'Back to the start');
      await begin(page, 'walk-round');
      await press(page, 'Next place');
    },
  },
  {
    name: 'review',
    whole: true,
    go: async (page) => {
      await press(page, 'Stop', 'Yes, stop', 'Back to the start');
      await startCheck(page, { rig: 'Engine 31', plan: 'full-cab-check', limits: 'us-cdl-single' });
      await page.locator('tn-review-screen').waitFor();
    },
  },
];

/** The sound check where the browser gives no microphone. */
const SOUND: readonly Scene[] = [
  {
    name: 'sound-check',
    at: 'tn-sound-check',
    go: async (page) => {
      await press(page, 'Try the microphone');
      await page.getByText('The browser may not use the microphone').first().waitFor();
      await page.getByText('Microphone and gain').first().click();
    },
  },
];

/** A check that an examiner watches. */
const EXAMINATION: readonly Scene[] = [
  {
    name: 'examination',
    go: async (page) => {
      await page.locator('input[name=examination]').check();
      await startCheck(page, { rig: 'Engine 31', plan: 'full-cab-check', limits: 'fire-practice' });
      await page.locator('tn-exam-screen input[name=text]').fill('Looked away from the gauges');
      await press(page, 'Put down');
    },
  },
  { name: 'examination-end', whole: true, go: (page) => press(page, 'End the examination', 'Yes, end it') },
  {
    name: 'examination-items',
    at: 'tn-exam-screen details details',
    go: async (page) => {
      await press(page, 'Back to the start');
      await page.locator('input[name=examination]').check();
      await startCheck(page, { rig: 'Engine 31', plan: 'cab', limits: 'fire-practice' });
      await page.getByRole('button', { name: 'Horn: done' }).click();
    },
  },
];

/** A newcomer's hold. */
const TOUR: readonly Scene[] = [
  {
    name: 'tour',
    whole: true,
    go: async (page) => {
      await toPlace(page, '#rehearse');
      await press(page, 'Take the tour');
    },
  },
  {
    name: 'tour-cab',
    go: async (page) => {
      const hold = page.getByRole('button', { name: 'Do the hold', exact: true });
      while (!(await hold.isVisible())) await press(page, 'Next');
      await hold.click();
      await page.locator('tn-rehearsal-run').waitFor();
    },
  },
  {
    name: 'tour-hold',
    go: async (page) => {
      await press(page, 'Engine off', 'Brakes released');
      await page.clock.runFor(2 * MOVING_MS);
      await press(page, 'Settled');
      await asTheyStand(page);
      await page.clock.runFor(4_000);
    },
  },
  { name: 'tour-pad', go: (page) => press(page, 'Enter the needles') },
  {
    name: 'tour-sheet',
    whole: true,
    go: async (page) => {
      await page.clock.runFor(2 * MOVING_MS);
      await asTheyStand(page);
      await page.getByRole('button', { name: 'Do the hold again' }).waitFor();
    },
  },
  {
    name: 'rehearsal-silent',
    go: async (page) => {
      await leave(page, '#rehearse');
      await page.locator('input[name=trainee]').fill('P. Serrano');
      await page.locator('input[name=level]').last().check();
      await press(page, 'Start the rehearsal');
    },
  },
];

/** The pre-trip over drawings, its faults those of one number. */
const PAPER: readonly Scene[] = [
  {
    name: 'paper-setup',
    whole: true,
    go: async (page) => {
      await toPlace(page, '#rehearse/pre-trip');
      await page.locator('tn-walk-setup input[name=trainee]').fill('P. Serrano');
      await page.locator('tn-walk-setup input[name=seed]').fill('31');
    },
  },
  {
    name: 'paper-drawing',
    whole: true,
    go: async (page) => {
      await press(page, 'Start the walk');
      await page.locator('tn-item-picture').waitFor();
    },
  },
  {
    name: 'paper-defect',
    whole: true,
    go: async (page) => {
      for (let item = 0; item < 4; item += 1) await press(page, 'As it must be');
      await page.getByRole('button', { name: 'Point at the upper run of the belt' }).click();
      await page.getByRole('radio', { name: 'frayed' }).check();
      await page.getByRole('radio', { name: 'report it' }).check();
    },
  },
  { name: 'paper-sheet', whole: true, go: (page) => press(page, 'Call it', 'Next place', 'Stop', 'Yes, stop') },
  {
    name: 'paper-unnamed',
    whole: true,
    go: async (page) => {
      await press(page, 'Done');
      await page.locator('tn-walk-setup input[name=level]').last().check();
      await press(page, 'Start the walk');
      // The first ten have drawings that look like another of the place, and are named.
      for (let drawing = 0; drawing < 10; drawing += 1) await press(page, 'Next drawing');
      await press(page, 'Something is wrong …');
    },
  },
];

/** People, an officer's key, and what an officer signs. */
const OFFICER: readonly Scene[] = [
  {
    name: 'people',
    whole: true,
    go: async (page) => {
      await toPlace(page, '#rigs/people');
      await page.locator('summary').first().click();
      await page.locator('input[name=pin]').fill('482915');
      await page.locator('input[name=again]').fill('482915');
      await press(page, 'Make the key');
      await page.getByText('Key made').first().waitFor();
    },
  },
  {
    name: 'officer-signs',
    whole: true,
    go: async (page) => {
      await toPlace(page, '#');
      await begin(page);
      await press(page, 'Chocks set', 'Stop', 'Yes, stop', 'The log: report and export');
      await page.getByRole('heading', { name: 'Officer' }).first().waitFor();
    },
  },
  {
    name: 'examiner-sheet',
    whole: true,
    paper: true,
    go: async (page) => {
      const [sheet] = await Promise.all([
        page.context().waitForEvent('page'),
        press(page, 'Open the examiner’s sheet'),
      ]);
      await sheet.waitForLoadState();
    },
    opened: (page) => page.context().pages().at(-1),
  },
];

/** Walks through every screen: what each scene shows follows from the scenes of its walk before it. */
export const WALKS: readonly (readonly Scene[])[] = [CHECK, ITEMS, TOUR, PAPER, OFFICER, EXAMINATION, SOUND];

/** Calls the needles of the simulated cab. */
async function asTheyStand(page: Page): Promise<void> {
  const [primary, secondary] = await page
    .getByRole('meter')
    .evaluateAll((dials) => dials.map((dial) => Number(dial.getAttribute('aria-valuenow'))));
  await needles(page, primary ?? 0, secondary ?? 0);
}

/** What the camera of a phone would give. */
async function takePhoto(page: Page, of: string, file: Parameters<Locator['setInputFiles']>[0]): Promise<void> {
  await page.getByLabel(`Add photo of ${of}`).setInputFiles(file);
}

async function begin(page: Page, plan = 'full-cab-check'): Promise<void> {
  await page.keyboard.press('Escape');
  await startCheck(page, { rig: 'Engine 31', plan, limits: 'fire-practice' });
  await page.locator('tn-check-screen').waitFor();
}

async function leave(page: Page, hash: string): Promise<void> {
  await page.reload();
  await toPlace(page, hash);
}

/** Where the pictures go; made anew each time. */
export const FOLDER = join('reports', 'shots');
