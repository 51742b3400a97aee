import { createHash } from 'node:crypto';
import { existsSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import type { Plugin } from 'vite';
import { HOSTS_KEY, ORIGIN } from './ui/shared/hosts.ts';

/**
 * What the page may load and run. Three ways out are bound by no policy of any browser: going to another page, fetching one ahead (a link
 * of the kind `prefetch`), and a frame's own peer connection. Only a script of this page could take them, and none does.
 * `connect-src` is left to a policy of its own, which `ADMIT` adds before anything else runs: where
 * there are two policies a request has to be allowed by both, so what was added can never be widened again until the next visit.
 */
const POLICY = (script: string): string =>
  [
    "default-src 'none'",
    // The engines are WebAssembly; no text is ever made a script: see `without-eval.ts`.
    `script-src 'self' 'wasm-unsafe-eval' '${script}'`,
    "style-src 'self' 'unsafe-inline'",
    "img-src 'self' data: blob:",
    "media-src 'self' blob:",
    "manifest-src 'self'",
    // Workers are begun from blobs, which are bound by the policies of the page; the service worker is the page's own file.
    "worker-src 'self' blob:",
    "base-uri 'none'",
    "form-action 'none'",
    'connect-src * blob: data:',
  ].join('; ');

/** No name is looked up before it is needed, and nobody is told where a link was followed from. */
const QUIET =
  '<meta http-equiv="x-dns-prefetch-control" content="off" />\n    <meta name="referrer" content="no-referrer" />';

/** Runs in the page before all else: only this address, and the hosts that the user has confirmed, can be asked for anything. */
const ADMIT = `(() => {
  let hosts = [];
  try { hosts = JSON.parse(localStorage.getItem(${JSON.stringify(HOSTS_KEY)}) ?? '[]'); } catch {}
  const meta = document.createElement('meta');
  meta.httpEquiv = 'Content-Security-Policy';
  meta.content = ["connect-src 'self' blob: data:", ...(Array.isArray(hosts) ? hosts : []).filter((host) => ${String(ORIGIN)}.test(host))].join(' ');
  document.head.append(meta);
  // Peers are reached past every policy of connections; nothing here has any use for them.
  for (const name of ['RTCPeerConnection', 'webkitRTCPeerConnection']) delete globalThis[name];
})();`;

/** Puts the policies into the built page. In development the tools of the build need connections of their own. */
export function pagePolicy(): Plugin {
  const digest = `sha256-${createHash('sha256').update(ADMIT).digest('base64')}`;
  const policy = `<meta http-equiv="Content-Security-Policy" content="${POLICY(digest)}" />`;
  return {
    name: 'page-policy',
    apply: 'build',
    transformIndexHtml: {
      order: 'post',
      handler: (html) =>
        html.replace(
          '<meta charset="utf-8" />',
          (charset) => `${charset}\n    ${policy}\n    ${QUIET}\n    <script>${ADMIT}</script>`,
        ),
    },
  };
}

interface Precached {
  url: string;
  integrity?: string;
}

/** Gives each file that the service worker keeps its digest: one that was changed on the way is not kept, and the page not installed. */
export function withDigests(folder: string) {
  return <Entry extends Precached>(entries: Entry[]): { manifest: Entry[]; warnings: string[] } => ({
    manifest: entries.map((entry) => {
      const path = join(folder, entry.url);
      if (!existsSync(path)) return entry;
      return { ...entry, integrity: `sha384-${createHash('sha384').update(readFileSync(path)).digest('base64')}` };
    }),
    warnings: [],
  });
}
