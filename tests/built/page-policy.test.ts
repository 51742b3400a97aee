import { createSocket } from 'node:dgram';
import { createServer, type Server } from 'node:http';
import type { AddressInfo } from 'node:net';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { HOSTS_KEY } from '../../src/ui/shared/hosts.ts';
import { enterCab, serveApp, type Cab } from '../support/cab.ts';

/** Every way in which a script can ask another host for something (Fetch, HTML and WebSockets standards), each as one expression. */
const WAYS: Readonly<Record<string, string>> = {
  fetch: 'await fetch(to)',
  'fetch without reading': "await fetch(to, { mode: 'no-cors', method: 'POST', body: 'secret' })",
  'an XMLHttpRequest':
    "await new Promise((done) => { const r = new XMLHttpRequest(); r.onloadend = done; r.open('GET', to); r.send(); })",
  'a beacon': "navigator.sendBeacon(to, 'secret')",
  'an event source': 'await new Promise((done) => { const s = new EventSource(to); s.onerror = done; })',
  'a web socket':
    "await new Promise((done) => { const s = new WebSocket(to.replace('http', 'ws')); s.onerror = done; })",
  'an image': 'await new Promise((done) => { const i = new Image(); i.onerror = i.onload = done; i.src = to; })',
  'a script':
    "await new Promise((done) => { const e = document.createElement('script'); e.onerror = e.onload = done; e.src = to; document.head.append(e); })",
  'an imported module': 'await import(to)',
  'a style sheet':
    "await new Promise((done) => { const e = document.createElement('link'); e.rel = 'stylesheet'; e.onerror = e.onload = done; e.href = to; document.head.append(e); })",
  'a frame':
    "await new Promise((done) => { const e = document.createElement('iframe'); e.onerror = e.onload = done; e.src = to; document.body.append(e); })",
  'a film':
    "await new Promise((done) => { const e = document.createElement('video'); e.onerror = e.onloadeddata = done; e.src = to; })",
  'a form':
    "await (async () => { const f = document.createElement('form'); f.method = 'POST'; f.target = '_blank'; f.action = to; document.body.append(f); f.submit(); })()",
  'a worker': 'await new Promise((done) => { try { new Worker(to).onerror = done; } catch { done(); } })',
  'a preloaded file':
    "await new Promise((done) => { const e = document.createElement('link'); e.rel = 'preload'; e.as = 'fetch'; e.crossOrigin = ''; e.onerror = e.onload = done; e.href = to; document.head.append(e); })",
  'a ping of a link':
    "await (async () => { const a = document.createElement('a'); a.href = '#'; a.ping = to; document.body.append(a); a.click(); })()",
  'an object':
    "await new Promise((done) => { const e = document.createElement('object'); e.onerror = e.onload = done; e.data = to; document.body.append(e); })",
  'a font': "await new FontFace('x', `url(${to})`).load()",
  'a frame of its own text':
    "await new Promise((done) => { const e = document.createElement('iframe'); e.onload = done; e.srcdoc = `<img src=\"${to}\"><script>fetch('${to}')<\/script>`; document.body.append(e); })",
  'a web transport': "await new WebTransport(to.replace('http:', 'https:')).ready",
  'a worker of its own text':
    "await new Promise((done) => { const w = new Worker(URL.createObjectURL(new Blob([`fetch('${to}').finally(() => postMessage(0))`]))); w.onmessage = w.onerror = done; })",
};
/** Makes scripts of text; later, since what the test itself evaluates is bound by no policy. */
const MADE = `new Promise((done) => setTimeout(() => done(
  [() => eval('1 + 1'), () => new Function('return 2')()].map((make) => { try { return make(); } catch (error) { return error.name; } }),
)))`;
/** As long as anything may take that gives no sign of its end. */
const MOST_MS = 3000;

describe('what the page can ask other hosts for', () => {
  let app: Awaited<ReturnType<typeof serveApp>>;
  let cab: Cab;
  let other: Server;
  let address: string;
  const asked: string[] = [];

  beforeAll(async () => {
    other = createServer((request, response) => {
      asked.push(request.url ?? '');
      response.setHeader('access-control-allow-origin', '*');
      response.end('answer');
    });
    other.on('upgrade', (request, socket) => {
      asked.push(request.url ?? '');
      socket.destroy();
    });
    await new Promise<void>((listening) => other.listen(0, '127.0.0.1', listening));
    address = `http://127.0.0.1:${(other.address() as AddressInfo).port}`;
    app = await serveApp();
    cab = await enterCab({ address: app.address });
  });
  afterAll(async () => {
    await cab.close();
    await app.close();
    other.close();
  });

  /** Tries a way, on the page or in a worker. */
  async function attempt(where: Pick<Cab['page'], 'evaluate'>, way: string, path: string): Promise<void> {
    const to = JSON.stringify(`${address}/${path}`);
    const work = `(async () => { const to = ${to}; try { ${way}; } catch {} })()`;
    await where.evaluate(`Promise.race([${work}, new Promise((go) => setTimeout(go, ${MOST_MS}))])`);
  }

  it('is nothing, in any way, before a host was confirmed', async () => {
    for (const [name, way] of Object.entries(WAYS)) await attempt(cab.page, way, encodeURIComponent(name));
    expect(asked).toEqual([]);
  });

  it('is nothing by a peer connection, which no policy of connections binds', async () => {
    const peers = createSocket('udp4');
    let heard = 0;
    peers.on('message', () => (heard += 1));
    await new Promise<void>((bound) => peers.bind(0, '127.0.0.1', bound));
    const servers = JSON.stringify([{ urls: `stun:127.0.0.1:${peers.address().port}` }]);
    await cab.page.evaluate(
      `(async () => { try { const p = new RTCPeerConnection({ iceServers: ${servers} }); p.createDataChannel('x'); await p.setLocalDescription(); await new Promise((go) => setTimeout(go, ${MOST_MS})); } catch {} })()`,
    );
    peers.close();
    expect(heard).toBe(0);
  });

  it('is told by no text that is made a script', async () => {
    expect(await cab.page.evaluate(MADE)).toEqual(['EvalError', 'EvalError']);
  });

  it('is nothing in the workers that hear, which keep the policy of the page', async () => {
    await cab.page.getByRole('button', { name: 'Hear a demo check' }).click();
    await expect.poll(() => cab.page.workers().length, { timeout: 60_000 }).toBeGreaterThan(1);
    for (const [at, worker] of cab.page.workers().entries()) {
      expect(worker.url()).toMatch(/^blob:/);
      expect(await worker.evaluate(MADE)).toEqual(['EvalError', 'EvalError']);
      // The engine of a worker has its own `fetch` for the model; what it passes on is tried as well.
      for (const name of ['fetch', 'an XMLHttpRequest', 'a web socket', 'an imported module'])
        await attempt(worker, WAYS[name]!, `worker-${at}-${encodeURIComponent(name)}`);
    }
    expect(asked).toEqual([]);
  });

  it('is the confirmed host alone from the next load on, and only what is fetched', async () => {
    await cab.page.evaluate(
      `localStorage.setItem(${JSON.stringify(HOSTS_KEY)}, ${JSON.stringify(JSON.stringify([address]))})`,
    );
    await attempt(cab.page, WAYS['fetch']!, 'too-early');
    expect(asked).toEqual([]);
    await cab.page.reload();
    await attempt(cab.page, WAYS['fetch']!, 'confirmed');
    expect(asked).toEqual(['/confirmed']);
    for (const name of ['a script', 'an imported module', 'an image', 'a frame', 'a style sheet', 'a worker'])
      await attempt(cab.page, WAYS[name]!, encodeURIComponent(name));
    expect(asked).toEqual(['/confirmed']);
    const stranger = address.replace('127.0.0.1', 'localhost');
    await cab.page.evaluate(`fetch(${JSON.stringify(`${stranger}/stranger`)}).catch(() => undefined)`);
    expect(asked).toEqual(['/confirmed']);
  });

  it('cannot be widened by a text that is no host', async () => {
    const evil = JSON.stringify(
      JSON.stringify([
        '* ; script-src *',
        'https:',
        '*',
        'https://*',
        "'unsafe-inline'",
        address.replace('127.0.0.1', '*'),
      ]),
    );
    await cab.page.evaluate(`localStorage.setItem(${JSON.stringify(HOSTS_KEY)}, ${evil})`);
    await cab.page.reload();
    const before = asked.length;
    await attempt(cab.page, WAYS['fetch']!, 'widened');
    expect(asked.length).toBe(before);
  });
});
