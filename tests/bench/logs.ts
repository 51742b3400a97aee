import { chromium } from 'playwright-core';
import { createServer } from 'vite';
import { CHROMIUM_ARGS, findChromium } from '../support/chromium.ts';
import type { LogsFigures } from './logs-page.ts';

/** The Logs screen over 10,000 checks in a browser's own store: first rows, filters, memory. Prints one line. */
const CHECKS = 10_000;
const ROUNDS = 3;

const server = await createServer({ server: { port: 0, hmr: false }, logLevel: 'error' });
await server.listen();
const address = server.resolvedUrls?.local[0] ?? '';
const browser = await chromium.launch({
  executablePath: findChromium(),
  args: [...CHROMIUM_ARGS, '--enable-precise-memory-info', '--js-flags=--expose-gc'],
});
const page = await (await browser.newContext({ viewport: { width: 1366, height: 768 } })).newPage();
page.setDefaultTimeout(60_000);
const blank = `${address}tests/bench/logs.html`;
const inPage = `import('${address}tests/bench/logs-page.ts')`;
await page.route(blank, (route) =>
  route.fulfill({ contentType: 'text/html', body: '<!doctype html><title>bench</title>' }),
);
await page.goto(blank);
await page.evaluate(`${inPage}.then((bench) => bench.fill())`);

const found: LogsFigures[] = [];
let megabytes = 0;
for (let round = 0; round < ROUNDS; round += 1) {
  await page.goto(blank);
  // Loading the program is not part of it.
  await page.evaluate(`${inPage}.then(() => undefined)`);
  found.push(await page.evaluate<LogsFigures>(`${inPage}.then((bench) => bench.measure())`));
  megabytes = await page.evaluate<number>('(globalThis.gc?.(), performance.memory.usedJSHeapSize / 2 ** 20)');
}
await browser.close();
await server.close();

const middle = (values: readonly number[]): string => {
  const sorted = [...values].sort((a, b) => a - b);
  return (sorted[Math.floor(sorted.length / 2)] ?? NaN).toFixed(0);
};
const worst = (values: readonly number[]): string => Math.max(...values).toFixed(0);
const firsts = found.map(({ firstRows }) => firstRows);
const filters = found.flatMap((each) => each.filters);
console.log(
  `logs: ${CHECKS} checks, first rows ${middle(firsts)} ms (worst ${worst(firsts)}; target 200), ` +
    `filter ${middle(filters)} ms (worst ${worst(filters)}; target 100), drift of all rigs known after ${middle(found.map(({ driftKnown }) => driftKnown))} ms, ` +
    `${found[0]?.rowsDrawn ?? 0} rows drawn, ${megabytes.toFixed(0)} MB of heap`,
);
