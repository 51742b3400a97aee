import { afterEach, describe, expect, it } from 'vitest';
import { corsSettings } from '../../src/shelf/cors.ts';
import type { ShelfFile } from '../../src/shelf/shelf-file.ts';
import { enterCab, serveApp } from '../support/cab.ts';
import { startApache } from '../support/shelf/apache.ts';
import { CEPH, startCeph } from '../support/shelf/ceph.ts';
import { offerShelf, shortCheck, switchOn } from '../support/shelf/on-a-page.ts';
import { installed } from '../support/shelf/servers.ts';
import { S3, shelfOf, WEBDAV } from '../support/shelf/stand-in.ts';
import { skip } from '../support/skipped.ts';

/** The rules that the panel shows, in the form in which they are put to a bucket. */
function corsXml(shown: string): string {
  const { CORSRules } = JSON.parse(shown) as { CORSRules: readonly Readonly<Record<string, readonly string[]>>[] };
  const rules = CORSRules.map((rule) => {
    const parts = Object.entries(rule).flatMap(([name, values]) => {
      // The form has one element for each value, named in the singular.
      const element = name.replace(/s$/, '');
      return values.map((value) => `<${element}>${value}</${element}>`);
    });
    return `<CORSRule>${parts.join('')}</CORSRule>`;
  });
  return `<CORSConfiguration>${rules.join('')}</CORSConfiguration>`;
}

/** A tablet that puts a check onto a store with the very settings that its panel shows, and reads it there. */
async function onAPage(start: (origin: string) => Promise<{ place: ShelfFile['place']; stop: () => Promise<void> }>) {
  const app = await serveApp();
  const store = await start(new URL(app.address).origin);
  const cab = await enterCab({ address: app.address, settings: { voice: false, operator: 'A. Okafor' } });
  closing.push(
    () => cab.close(),
    store.stop,
    () => app.close(),
  );
  const { page } = cab;
  await shortCheck(page);
  await offerShelf(page, app.address, shelfOf(store.place));
  await switchOn(page);
  await page.getByRole('status').filter({ hasText: 'Nothing waits' }).waitFor();
  await page.getByRole('status').filter({ hasText: '1 went' }).waitFor();
  await page.getByRole('button', { name: 'List' }).click();
  await page.getByRole('button', { name: /^Fetch \d/ }).click();
  await page.getByRole('status').filter({ hasText: '1 of 1 fetched and verified' }).waitFor();
  // The browser itself has refused nothing. (It complains of each answer like 404, too: no index is there yet.)
  expect(cab.complaints.filter((line) => /CORS|Content Security|blocked/.test(line))).toEqual([]);
}

const closing: (() => Promise<void>)[] = [];
afterEach(async () => {
  for (const close of closing.splice(0)) await close();
});

describe('a page with a real store', () => {
  it('puts and reads in a folder of Apache with the lines that it shows', async (context) => {
    if (!installed('apache2')) return skip(context, 'apache2 is not installed.');
    await onAPage(async (origin) => {
      const { owner, stop } = await startApache(corsSettings({ place: WEBDAV }, origin));
      return { place: owner, stop };
    });
  });

  it('puts and reads in a bucket of Ceph with the rules that it shows', async (context) => {
    if (!installed(...CEPH)) return skip(context, 'radosgw, ceph-mon and ceph-osd are not installed.');
    await onAPage(async (origin) => {
      const { owner, stop } = await startCeph(corsXml(corsSettings({ place: S3 }, origin)));
      return { place: owner, stop };
    });
  });
});
