import { chromium } from 'playwright-core';
import { createServer } from 'vite';
import { CHROMIUM_ARGS, findChromium } from '../support/chromium.ts';
import type { ImportFigures } from './import-page.ts';

/** Five hundred exported checks taken in through the Logs screen, while its frames are watched. Prints one line. */
const server = await createServer({ server: { port: 0, hmr: false }, logLevel: 'error' });
await server.listen();
const address = server.resolvedUrls?.local[0] ?? '';
const browser = await chromium.launch({ executablePath: findChromium(), args: CHROMIUM_ARGS });
const page = await (await browser.newContext({ viewport: { width: 1366, height: 768 } })).newPage();
const blank = `${address}tests/bench/import.html`;
await page.route(blank, (route) =>
  route.fulfill({ contentType: 'text/html', body: '<!doctype html><title>bench</title>' }),
);
await page.goto(blank);
const found = await page.evaluate<ImportFigures>(
  `import('${address}tests/bench/import-page.ts').then((bench) => bench.importMany())`,
);
await browser.close();
await server.close();
const ms = (value: number): string => `${value.toFixed(0)} ms`;
console.log(
  `import: ${found.kept} of 500 zips (${found.megabytes.toFixed(0)} MB) in ${(found.took / 1000).toFixed(1)} s, ` +
    `progress shown ${found.steps} times, longest task ${ms(found.longestTask)}, longest time between two frames ${ms(found.gap)} ` +
    `(${(found.gap / found.idleGap).toFixed(1)} times that of the idle page, ${ms(found.idleGap)}); ` +
    `cancelled within ${ms(found.cancelled)} with ${found.keptThen} kept`,
);
