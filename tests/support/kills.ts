import { createServer } from 'node:http';
import type { AddressInfo } from 'node:net';
import { fileURLToPath } from 'node:url';
import { chromium, type BrowserContext, type Page } from 'playwright-core';
import { build, type Rolldown } from 'vite';
import { CHROMIUM_ARGS, findChromium } from './chromium.ts';
import { ENGINE_31, fullCabCheckScript } from '../../src/rehearsal/synthetic-operator-script.ts';
import type { Found } from './kill-page.ts';

/** A check whose page was killed at a random moment. */
export interface Killed {
  readonly how: 'process' | 'page';
  /** The words of the callouts that had been answered by then, in order, as they were told to this program. */
  readonly answered: readonly string[];
  /** What was on the disk afterwards; absent when the check had not even begun. */
  readonly found: Found | undefined;
}

export interface Kills {
  /** Callouts of a check that is let live. */
  readonly whole: number;
  readonly killed: readonly Killed[];
}

/** Only what never comes is missing: a busy machine is slow. */
const PATIENCE = 5 * 60_000;

/** Where in a write to the disk a check is killed. Before and after it the page stands still until it is gone. */
const STAGES = ['before', 'during', 'after'] as const;

/** The first write after so many answers, and where in it. */
interface Moment {
  readonly answers: number;
  readonly stage: (typeof STAGES)[number];
}

/**
 * Begins whole checks in Chromium and kills each at a random moment, at a write to its disk that is drawn: `processes` with the
 * process that renders the page, `pages` by taking a page down in the middle of what it does. Then takes each up in a fresh page.
 * `random` gives numbers from 0 up to 1.
 */
export async function killChecks(processes: number, pages: number, random: () => number): Promise<Kills> {
  const program = await bundle();
  const answered = new Map<string, string[]>();
  const waiting = new Map<string, Moment & { readonly come: () => void }>();
  /** Resolves when a check has come to a moment. */
  const reached = (check: string, moment: Moment): Promise<void> =>
    new Promise((come) => waiting.set(check, { ...moment, come }));
  const server = createServer((request, response) => {
    const { pathname, searchParams } = new URL(request.url ?? '/', 'http://localhost');
    const check = searchParams.get('check') ?? '';
    if (pathname === '/answered') {
      const said = [...(answered.get(check) ?? []), searchParams.get('said') ?? ''];
      answered.set(check, said);
      response.end();
    } else if (pathname === '/writing') {
      const waits = waiting.get(check);
      const due = waits !== undefined && (answered.get(check)?.length ?? 0) >= waits.answers;
      const come = due && waits.stage === searchParams.get('stage');
      if (!come || waits.stage === 'during') response.end();
      if (come) waits.come();
    } else if (pathname === '/kill-page.js') {
      response.setHeader('content-type', 'text/javascript');
      response.setHeader('cache-control', 'max-age=3600');
      response.end(program);
    } else {
      response.setHeader('content-type', 'text/html');
      const run = `import('/kill-page.js').then((page) => page.run('${check}'))`;
      const starts = check === '' ? '' : `<script type="module">${run}</script>`;
      response.end(`<!doctype html><title>A check</title>${starts}`);
    }
  });
  await new Promise<void>((listening) => server.listen(0, '127.0.0.1', listening));
  const address = `http://127.0.0.1:${(server.address() as AddressInfo).port}/`;
  const browser = await chromium.launch({ executablePath: findChromium(), args: CHROMIUM_ARGS, timeout: PATIENCE });
  try {
    const context = await browser.newContext();
    context.setDefaultTimeout(PATIENCE);
    const whole = fullCabCheckScript(ENGINE_31, { holdSeconds: 60, afterHold: 1000 }).length;
    const moment = (check: string): Promise<void> => {
      const answers = 1 + Math.floor(random() * (whole - 1));
      return reached(check, { answers, stage: STAGES[Math.floor(random() * STAGES.length)] ?? STAGES[0] });
    };
    for (let nth = 0; nth < processes; nth += 1)
      await crash(context, `${address}?check=process-${nth}`, moment(`process-${nth}`));
    const page = await context.newPage();
    await page.goto(address);
    for (let nth = 0; nth < pages; nth += 1) await takeDown(page, `/?check=page-${nth}`, moment(`page-${nth}`));
    const killed: Killed[] = [];
    for (const [how, count] of [['process', processes] as const, ['page', pages] as const]) {
      for (let nth = 0; nth < count; nth += 1) {
        const check = `${how}-${nth}`;
        const found = await page.evaluate<Found | undefined>(
          `import('/kill-page.js').then((page) => page.find('${check}'))`,
        );
        killed.push({ how, answered: answered.get(check) ?? [], found });
      }
    }
    return { whole, killed };
  } finally {
    await browser.close();
    server.close();
  }
}

/** The program that runs in the pages, in one file. */
async function bundle(): Promise<string> {
  const entry = fileURLToPath(new URL('kill-page.ts', import.meta.url));
  const built = await build({
    configFile: false,
    logLevel: 'error',
    build: { write: false, minify: false, lib: { entry, formats: ['es'], fileName: 'kill-page' } },
  });
  const [output] = built as Rolldown.RolldownOutput[];
  const chunk = output?.output[0];
  if (chunk === undefined) throw new Error('the page was not built');
  return chunk.code;
}

/** Kills the process of a page when its moment has come. */
async function crash(context: BrowserContext, address: string, moment: Promise<void>): Promise<void> {
  const page = await context.newPage();
  const crashed = new Promise<void>((gone) => page.once('crash', () => gone()));
  const devtools = await context.newCDPSession(page);
  await page.goto(address, { waitUntil: 'commit' });
  await moment;
  // It never answers: there is nobody left to.
  devtools.send('Page.crash').catch(() => undefined);
  await crashed;
  await page.close();
}

/** Loads a page within the page, and takes it down when its moment has come. */
async function takeDown(page: Page, src: string, moment: Promise<void>): Promise<void> {
  await page.evaluate((address) => {
    const frame = document.createElement('iframe');
    frame.src = address;
    document.body.append(frame);
  }, src);
  await moment;
  await page.evaluate(() => document.querySelector('iframe')?.remove());
}
