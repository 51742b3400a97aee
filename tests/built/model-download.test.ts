import { createHash } from 'node:crypto';
import type { RequestListener } from 'node:http';
import type { Page } from 'playwright-core';
import type { PreviewServer } from 'vite';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { HOSTS_KEY } from '../../src/ui/shared/hosts.ts';
import { enterCab, serveApp, type Cab } from '../support/cab.ts';
import { buildTinyModel } from '../support/tiny-model/tiny-model.ts';
import { serving } from '../unit/hearing/models/server.ts';

/** A file server that allows pages of other origins, and holds back the second half of an archive until told. */
function slowServer(archive: Uint8Array): { answer: RequestListener; letGo: () => void; ranges: string[] } {
  const ranges: string[] = [];
  let letGo: () => void = () => undefined;
  const held = new Promise<void>((resolve) => (letGo = resolve));
  const answer: RequestListener = (request, response) => {
    const allow = { 'access-control-allow-origin': '*', 'access-control-allow-headers': 'range' };
    if (request.method === 'OPTIONS') {
      response.writeHead(204, allow).end();
      return;
    }
    const from = Number(/^bytes=(\d+)-$/.exec(request.headers.range ?? '')?.[1] ?? 0);
    ranges.push(request.headers.range ?? 'whole');
    response.writeHead(from > 0 ? 206 : 200, {
      ...allow,
      'content-type': 'application/gzip',
      'content-length': archive.length - from,
      'last-modified': 'Wed, 01 Apr 2026 08:00:00 GMT',
    });
    if (request.url !== '/slow.tgz' || from > 0) {
      response.end(archive.subarray(from));
      return;
    }
    response.write(archive.subarray(0, archive.length >> 1));
    void held.then(() => response.end(archive.subarray(archive.length >> 1)));
  };
  return { answer, letGo: () => letGo(), ranges };
}

/** A host that the user has confirmed; the policy of the page lets it through from the next load on. */
async function confirm(page: Page, origin: string): Promise<void> {
  await page.evaluate(([key, hosts]) => localStorage.setItem(key!, hosts!), [HOSTS_KEY, JSON.stringify([origin])]);
  await page.reload();
}

async function download(page: Page, url: string, sha256: string): Promise<void> {
  await confirm(page, new URL(url).origin);
  const ears = page.getByRole('region', { name: 'Ears' });
  if (!(await ears.getByLabel('Address of the archive').isVisible())) await ears.getByText('Add a model').click();
  await ears.getByLabel('Address of the archive').fill(url);
  await ears.getByLabel(/^SHA-256, if/).fill(sha256);
  await ears.getByRole('button', { name: 'Download', exact: true }).click();
}

describe('a model for the Vosk ear, in a browser', () => {
  let server: (PreviewServer & { address: string }) | undefined;
  let cab: Cab;
  let archive: Uint8Array;
  let sha256: string;

  beforeAll(async () => {
    archive = await buildTinyModel();
    sha256 = createHash('sha256').update(archive).digest('hex');
    server = await serveApp();
    cab = await enterCab({ address: server.address, settings: { voice: false, operator: 'A. Okafor' } });
  });
  afterAll(async () => {
    await cab.close();
    await server?.close();
  });

  it('is refused when its checksum does not match, and nothing of it stays', async () => {
    const { page } = cab;
    const { answer } = slowServer(archive);
    await serving(answer, async (origin) => {
      await download(page, `${origin}/tiny.tgz`, 'ab'.repeat(32));
      await page.getByRole('alert').filter({ hasText: 'The checksum does not match' }).waitFor();
    });
    expect(await page.getByRole('heading', { name: 'tiny-model' }).count()).toBe(0);
    expect(await page.getByRole('heading', { name: 'Unfinished download' }).count()).toBe(0);
  });

  it('shows its progress, can be cancelled and resumed, and is listed with its checksum', async () => {
    const { page } = cab;
    const slow = slowServer(archive);
    await serving(slow.answer, async (origin) => {
      await download(page, `${origin}/slow.tgz`, sha256);
      await page.getByText(/^Downloading: 0\.0[1-9] MB of 0\.0[1-9] MB$/).waitFor();
      expect(await page.getByRole('progressbar', { name: 'Downloading' }).getAttribute('max')).toBe(
        String(archive.length),
      );
      await page.getByRole('button', { name: 'Cancel the download' }).click();
      await page.getByRole('alert').filter({ hasText: 'The download was stopped' }).waitFor();
      await page.getByRole('button', { name: /^Resume/ }).click();
      await page
        .getByRole('status')
        .filter({ hasText: `Added: tiny-model, SHA-256 ${sha256}. It also works offline.` })
        .waitFor();
      slow.letGo();
    });
    expect(slow.ranges).toEqual(['whole', `bytes=${archive.length >> 1}-`]);
    await page.getByRole('button', { name: 'Verify tiny-model' }).click();
    await page.getByRole('status').filter({ hasText: 'is whole' }).waitFor();
    expect(cab.complaints).toEqual([]);
  });

  it('is listed after a reload without network', async () => {
    const { page, context } = cab;
    await page.evaluate(() => navigator.serviceWorker.ready.then(() => undefined));
    await context.setOffline(true);
    await page.reload();
    await page.getByRole('heading', { name: 'tiny-model' }).waitFor();
  });
});
