import { chromium } from 'playwright-core';
import { createServer } from 'vite';
import { CHROMIUM_ARGS, findChromium } from '../support/chromium.ts';
import type { SlowPhoneFigures } from './slow-phone-page.ts';

/**
 * `npm run bench -- slow-phone [TIMES]`: our own ear in Chromium, readings over a diesel, and whether the second opinion is switched off where the
 * processor is so many times slower (4). All of it is work of the processor, so that a slower one takes as many times longer. `1`: this
 * machine as it is, for one that is slowed from outside.
 */
const slower = Number(process.argv[2] ?? 4);

const server = await createServer({ server: { port: 0, hmr: false }, logLevel: 'error' });
await server.listen();
const address = server.resolvedUrls?.local[0] ?? '';
const browser = await chromium.launch({ executablePath: findChromium(), args: CHROMIUM_ARGS });
const page = await (await browser.newContext()).newPage();
page.setDefaultTimeout(600_000);
const blank = `${address}tests/bench/slow-phone.html`;
await page.route(blank, (route) =>
  route.fulfill({ contentType: 'text/html', body: '<!doctype html><title>bench</title>' }),
);
await page.goto(blank);
const found = await page.evaluate<SlowPhoneFigures>(
  `import('${address}tests/bench/slow-phone-page.ts').then((bench) => bench.measure(${slower}))`,
);
await browser.close();
await server.close();

const factor = (slower * found.took) / found.sound;
console.log(
  `slow phone: ${slower} times slower than this machine, our own ear takes ${factor.toFixed(2)} of the sound's length (target 0.9) and is ready after ` +
    `${(slower * found.loaded).toFixed(0)} ms; ${found.heard.filter((text) => text !== '').length} readings heard of 8; ` +
    `the second opinion: ${found.lines[0] ?? 'stays on'} (after ${found.before})`,
);
