import { mkdir, rm, writeFile } from 'node:fs/promises';
import { join } from 'node:path';
import process from 'node:process';
import { parseArgs } from 'node:util';
import type { Page } from 'playwright-core';
import { enterCab, serveApp } from '../support/cab.ts';
import { FOLDER, WALKS } from './scenes.ts';
import type { Scene } from './scenes.ts';

/**
 * `npm run shots [-- --only NAME…]`: every screen and state of the built app in each size, theme and text size, as pictures in
 * `reports/shots/`, with a contact sheet of each scene (`sheet-NAME.png`) and of all (`index.html`).
 */
const SIZES = [
  { name: 'phone', width: 360, height: 740 },
  { name: 'tablet', width: 820, height: 1180 },
  { name: 'laptop', width: 1366, height: 768 },
] as const;
const THEMES = ['day', 'night', 'red'] as const;
const SCALES = [1, 2] as const;
/** Of what a picture takes on a sheet. */
const THUMB_HEIGHT = 520;

const { values } = parseArgs({ options: { only: { type: 'string', multiple: true } } });
await rm(FOLDER, { recursive: true, force: true });
await mkdir(FOLDER, { recursive: true });
const app = await serveApp();
const cab = await enterCab({
  address: app.address,
  settings: { voice: false, operator: 'R. Halvorsen' },
  prepare: async (page) => {
    // By hand, and on a clock that can be let run: a hold takes a minute.
    await page.addInitScript(() => {
      navigator.mediaDevices.getUserMedia = () => Promise.reject(new DOMException('', 'NotAllowedError'));
    });
    await page.clock.install();
  },
});
const { page } = cab;
page.setDefaultTimeout(20_000);
const sheets: string[] = [];
try {
  for (const walk of WALKS) {
    if (walk.some(isWanted)) await take(walk);
    await page.evaluate('location.hash = ""');
    await page.reload();
  }
} finally {
  await writeFile(join(FOLDER, 'index.html'), sheets.join('\n'));
  await contactSheets(await cab.context.newPage());
  await cab.close();
  await app.close();
}
for (const complaint of cab.complaints) console.log(`the page complained: ${complaint}`);

function isWanted({ name }: Scene): boolean {
  return values.only === undefined || values.only.includes(name);
}

async function take(walk: readonly Scene[]): Promise<void> {
  for (const scene of walk) {
    await page.setViewportSize({ width: 820, height: 1180 });
    await look(page, 'day', 1);
    try {
      await scene.go(page);
    } catch (error) {
      await page.screenshot({ path: join(FOLDER, `stuck-before-${scene.name}.png`) });
      throw error;
    }
    const shown = scene.opened?.(page) ?? page;
    if (isWanted(scene)) await picture(scene, shown);
    if (shown !== page) await shown.close();
  }
}

async function picture({ name, whole, at, paper }: Scene, shown: Page): Promise<void> {
  const pictures = [];
  for (const scale of paper === true ? [1] : SCALES)
    for (const theme of paper === true ? (['day'] as const) : THEMES)
      for (const size of SIZES) {
        await shown.setViewportSize({ width: size.width, height: size.height });
        await look(shown, theme, scale);
        if (at !== undefined)
          await shown
            .locator(at)
            .first()
            .evaluate((found) => found.scrollIntoView({ block: 'center' }));
        const file = `${name}-${size.name}-${theme}-${scale * 100}.png`;
        await shown.screenshot({ path: join(FOLDER, file), fullPage: whole === true });
        pictures.push(file);
        const width = await shown.evaluate<number>('document.documentElement.scrollWidth');
        if (width > size.width) console.log(`${file}: wider than the screen, ${width} px`);
      }
  sheets.push(sheetOf(name, pictures));
  console.log(`${name}: ${pictures.length} pictures`);
}

async function look(shown: Page, theme: (typeof THEMES)[number], scale: number): Promise<void> {
  await shown.evaluate(
    ([theme, scale]) => {
      document.documentElement.dataset['theme'] = theme;
      document.documentElement.style.setProperty('--text-scale', scale);
    },
    [theme, String(scale)] as const,
  );
}

function sheetOf(name: string, pictures: readonly string[]): string {
  const figures = pictures.map(
    (file) => `<figure><img src="${file}" alt="" height="${THUMB_HEIGHT}"><figcaption>${file}</figcaption></figure>`,
  );
  return `<section id="${name}"><h2>${name}</h2>${figures.join('')}</section>`;
}

async function contactSheets(sheet: Page): Promise<void> {
  const style =
    '<style>body{margin:8px;font:11px sans-serif}figure{display:inline-block;margin:4px;vertical-align:top;width:max-content}' +
    'img{border:1px solid #888;max-width:700px}h2{margin:4px}</style>';
  for (const html of sheets) {
    const name = /id="([^"]+)"/.exec(html)?.[1] ?? '';
    const file = join(FOLDER, `sheet-${name}.html`);
    await writeFile(file, style + html);
    await sheet.setViewportSize({ width: 2000, height: 1200 });
    await sheet.goto(`file://${join(process.cwd(), file)}`);
    await sheet.screenshot({ path: join(FOLDER, `sheet-${name}.png`), fullPage: true });
    await rm(file);
  }
}
