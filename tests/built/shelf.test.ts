import { createServer, type Server } from 'node:http';
import type { AddressInfo } from 'node:net';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { enterCab, serveApp, type Cab } from '../support/cab.ts';
import { offerShelf, shortCheck, switchOn } from '../support/shelf/on-a-page.ts';
import { S3, shelfOf, standIn } from '../support/shelf/stand-in.ts';

/** A store of another address, which lets pages in (CORS) once it is told to. */
describe('a tablet and the shelf of its district', () => {
  const store = standIn('s3', () => new Date().toISOString());
  let app: Awaited<ReturnType<typeof serveApp>>;
  let server: Server;
  let cab: Cab;
  let address: string;
  let open = false;
  const asked: string[] = [];

  beforeAll(async () => {
    server = createServer((request, response) => {
      asked.push(request.method ?? '');
      const allow = {
        'access-control-allow-origin': '*',
        'access-control-allow-methods': '*',
        'access-control-allow-headers': '*, authorization',
      };
      if (request.method === 'OPTIONS') return void response.writeHead(204, open ? allow : {}).end();
      const parts: Buffer[] = [];
      request.on('data', (part: Buffer) => parts.push(part));
      request.on('end', () => {
        const headers = new Headers();
        for (const [name, value] of Object.entries(request.headers))
          if (typeof value === 'string') headers.set(name, value);
        const body = parts.length === 0 ? {} : { body: Buffer.concat(parts) };
        void store
          .fetch(`${address}${request.url ?? ''}`, { method: request.method ?? 'GET', headers, ...body })
          .then(async (answer) => {
            response.writeHead(answer.status, open ? allow : {});
            response.end(Buffer.from(await answer.arrayBuffer()));
          });
      });
    });
    await new Promise<void>((listening) => server.listen(0, '127.0.0.1', listening));
    address = `http://127.0.0.1:${(server.address() as AddressInfo).port}`;
    app = await serveApp();
    cab = await enterCab({ address: app.address, settings: { voice: false, operator: 'A. Okafor' } });
  });
  afterAll(async () => {
    await cab.close();
    await app.close();
    await new Promise((closed) => server.close(closed));
  });

  it('sends nothing anywhere until the switch is on, then what was sealed, and says what the store lacks', async () => {
    const { page, context } = cab;
    const elsewhere: string[] = [];
    context.on('request', (request) => {
      const { origin, protocol } = new URL(request.url());
      if (protocol.startsWith('http') && origin !== new URL(app.address).origin) elsewhere.push(request.url());
    });
    await shortCheck(page);
    await offerShelf(page, app.address, shelfOf({ ...S3, address: `${address}/checks` }));
    expect([elsewhere, asked]).toEqual([[], []]);

    await switchOn(page);
    await page.getByRole('alert').filter({ hasText: '(CORS)' }).waitFor();
    expect(store.objects.size).toBe(0);
    open = true;
    await page.getByRole('button', { name: 'Try now' }).click();
    await page.getByRole('status').filter({ hasText: 'Nothing waits' }).waitFor();
    expect([...store.objects.keys()].map((name) => name.split('/')[1]).sort()).toEqual(['checks', 'heads']);
    expect(elsewhere.every((url) => url.startsWith(address))).toBe(true);
  });
});
