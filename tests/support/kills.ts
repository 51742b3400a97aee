import { createServer } from 'node:http';
import type { AddressInfo } from 'node:net';
import { fileURLToPath } from 'node:url';
import { chromium, type BrowserContext, type Page } from 'playwright-core';
import { build, type Rolldown } from 'vite';
import { CHROMIUM_ARGS, findChromium } from './chromium.ts';
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
  /** How long a check takes that is let live, in ms; the moments are spread over it. */
  readonly length: number;
  readonly whole: number;
  readonly killed: readonly Killed[];
}

/**
 * Begins whole checks in Chromium and kills each at a random moment: `processes` with the process that renders the page, `pages` by
 * taking a page down in the middle of what it does. Then takes each up in a fresh page.
 */
export async function killChecks(processes: number, pages: number): Promise<Kills> {
  const program = await bundle();
  const answered = new Map<string, string[]>();
  const server = createServer((request, response) => {
    const { pathname, searchParams } = new URL(request.url ?? '/', 'http://localhost');
    const check = searchParams.get('check') ?? '';
    if (pathname === '/answered') {
      answered.set(check, [...(answered.get(check) ?? []), searchParams.get('said') ?? '']);
      response.end();
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
  const browser = await chromium.launch({ executablePath: findChromium(), args: CHROMIUM_ARGS });
  try {
    const context = await browser.newContext();
    const length = await lengthOfCheck(context, `${address}?check=whole`, () =>
      /check complete/.test(answered.get('whole')?.at(-1) ?? ''),
    );
    const moments = (count: number): number[] => Array.from({ length: count }, () => Math.random() * length);
    for (const [nth, ms] of moments(processes).entries()) await crash(context, `${address}?check=process-${nth}`, ms);
    const page = await context.newPage();
    await page.goto(address);
    for (const [nth, ms] of moments(pages).entries()) await takeDown(page, `/?check=page-${nth}`, ms);
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
    return { length, whole: answered.get('whole')?.length ?? 0, killed };
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

async function lengthOfCheck(context: BrowserContext, address: string, over: () => boolean): Promise<number> {
  const page = await context.newPage();
  const begin = performance.now();
  await page.goto(address, { waitUntil: 'commit' });
  while (!over()) await page.waitForTimeout(10);
  const took = performance.now() - begin;
  await page.close();
  return took;
}

/** Kills the process of a page so many ms after it began to load. */
async function crash(context: BrowserContext, address: string, ms: number): Promise<void> {
  const page = await context.newPage();
  const crashed = new Promise<void>((gone) => page.once('crash', () => gone()));
  const devtools = await context.newCDPSession(page);
  await page.goto(address, { waitUntil: 'commit' });
  await page.waitForTimeout(ms);
  // It never answers: there is nobody left to.
  devtools.send('Page.crash').catch(() => undefined);
  await crashed;
  await page.close();
}

/** Loads a page within the page, and takes it down so many ms later. */
function takeDown(page: Page, src: string, ms: number): Promise<void> {
  return page.evaluate(
    (kill) =>
      new Promise<void>((gone) => {
        const frame = document.createElement('iframe');
        frame.src = kill.src;
        document.body.append(frame);
        setTimeout(() => {
          frame.remove();
          gone();
        }, kill.ms);
      }),
    { src, ms },
  );
}
