import { mkdtemp, rm, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { chromium, type BrowserContext, type Page } from 'playwright-core';
import { preview, type Plugin, type PreviewServer } from 'vite';
import type { CheckEvent } from '../../src/check/event.ts';
import type { Settings } from '../../src/running/settings.ts';
import { CHROMIUM_ARGS, findChromium } from './chromium.ts';

/** A cab: the built app in a browser of its own, whose microphone hears a recording from the moment it is opened. */
export interface Cab {
  readonly page: Page;
  readonly context: BrowserContext;
  readonly address: string;
  /** What the microphone hears from when it is opened the next time. */
  setSound(wav: Uint8Array): Promise<void>;
  /** The app in another page of the same browser, with other settings. */
  load(page: Page, settings: Partial<Settings>, prepare?: (page: Page) => Promise<void>): Promise<Page>;
  /** Lines the page wrote to its error console, and errors nobody caught. There should be none. */
  readonly complaints: readonly string[];
  close(): Promise<void>;
}

/** Serves `dist/` on a free port of this machine, and these scripts beside it, by name. */
export async function serveApp(
  scripts: Readonly<Record<string, string>> = {},
): Promise<PreviewServer & { readonly address: string }> {
  const beside: Plugin = {
    name: 'scripts-beside',
    configurePreviewServer({ middlewares }) {
      for (const [name, script] of Object.entries(scripts))
        middlewares.use(`/${name}`, (_request, response) => {
          response.setHeader('content-type', 'text/javascript');
          response.end(script);
        });
    },
  };
  const server = await preview({ preview: { port: 0, host: '127.0.0.1' }, logLevel: 'silent', plugins: [beside] });
  const address = server.resolvedUrls?.local[0];
  if (address === undefined) throw new Error('The app is not served: run `npm run build` first.');
  return Object.assign(server, { address });
}

export interface CabOptions {
  readonly address: string;
  /** The recording that the microphone hears, as WAV bytes; silence when absent. */
  readonly sound?: Uint8Array;
  readonly settings?: Partial<Settings>;
  /** Called before the app is loaded. */
  readonly prepare?: (page: Page) => Promise<void>;
  readonly viewport?: { readonly width: number; readonly height: number };
  readonly colorScheme?: 'light' | 'dark';
}

export async function enterCab(options: CabOptions): Promise<Cab> {
  const folder = await mkdtemp(join(tmpdir(), 'cab-'));
  const sound = join(folder, 'operator.wav');
  if (options.sound !== undefined) await writeFile(sound, options.sound);
  const context = await chromium.launchPersistentContext(join(folder, 'profile'), {
    executablePath: findChromium(),
    headless: true,
    viewport: options.viewport ?? { width: 1366, height: 768 },
    colorScheme: options.colorScheme ?? 'light',
    permissions: ['microphone'],
    timeout: 5 * 60_000,
    args: [
      ...CHROMIUM_ARGS,
      '--use-fake-ui-for-media-stream',
      '--use-fake-device-for-media-stream',
      ...(options.sound === undefined ? [] : [`--use-file-for-fake-audio-capture=${sound}%noloop`]),
    ],
  });
  const complaints: string[] = [];
  const load = async (
    page: Page,
    changed: Partial<Settings> = {},
    prepare?: (page: Page) => Promise<void>,
  ): Promise<Page> => {
    // Only what never comes is missing: a busy machine is slow.
    page.setDefaultTimeout(5 * 60_000);
    page.on('pageerror', (error) => complaints.push(error.message));
    page.on('console', (message) => {
      if (message.type() === 'error') complaints.push(message.text());
    });
    // What a user would have set before: the voice that answers, and no processing that would change the recording.
    const settings = JSON.stringify({ echoCancellation: false, ...options.settings, ...changed });
    await page.addInitScript((value) => localStorage.setItem('two-needles.settings', value), settings);
    await prepare?.(page);
    await page.goto(options.address);
    return page;
  };
  const page = await load(context.pages()[0] ?? (await context.newPage()), {}, options.prepare);
  return {
    page,
    context,
    address: options.address,
    complaints,
    setSound: (wav) => writeFile(sound, wav),
    load,
    close: async () => {
      await context.close();
      await rm(folder, { recursive: true, force: true });
    },
  };
}

/** Chooses the rig by its name, plan and limits by their ids, and starts. From here on nothing is touched. */
export async function startCheck(page: Page, choice: { rig: string; plan?: string; limits?: string }): Promise<void> {
  await page.getByRole('radio', { name: new RegExp(choice.rig) }).check();
  if (choice.plan !== undefined) await page.locator('select[name=plan]').selectOption(choice.plan);
  if (choice.limits !== undefined) await page.locator('select[name=profile]').selectOption(choice.limits);
  await page.getByRole('button', { name: 'Start the check' }).click();
}

/** The newest log in the page's own database, in order. */
export async function storedEvents(page: Page): Promise<CheckEvent[]> {
  return page.evaluate(async () => {
    const request = <T>(work: IDBRequest<T>): Promise<T> =>
      new Promise((resolve, reject) => {
        work.onsuccess = () => resolve(work.result);
        work.onerror = () => reject(work.error ?? new Error('the database did not answer'));
      });
    const database = await request(indexedDB.open('two-needles'));
    const heads = (await request(database.transaction('checks').objectStore('checks').getAll())) as {
      id: string;
      startedAt: string;
    }[];
    const newest = heads.sort((a, b) => b.startedAt.localeCompare(a.startedAt))[0];
    const rows = (await request(database.transaction('events').objectStore('events').getAll())) as {
      check: string;
      index: number;
      event: unknown;
    }[];
    database.close();
    return rows
      .filter((row) => row.check === newest?.id)
      .sort((a, b) => a.index - b.index)
      .map((row) => row.event) as never;
  });
}
