import { readFile } from 'node:fs/promises';
import { extname, join, normalize, sep } from 'node:path';
import { promisify } from 'node:util';
import { gzip } from 'node:zlib';
import type { Plugin } from 'vite';

/** What shrinks; sound and pictures are compressed already. */
const TYPES: Readonly<Record<string, string>> = {
  '.html': 'text/html',
  '.js': 'text/javascript',
  '.css': 'text/css',
  '.svg': 'image/svg+xml',
  '.json': 'application/json',
  '.webmanifest': 'application/manifest+json',
  '.wasm': 'application/wasm',
};

/** Serves what was built compressed, as a station's web server should; see *Deployment* in `public/guide/index.html`. */
export function servedCompressed(): Plugin {
  const packed = new Map<string, Promise<Buffer>>();
  return {
    name: 'served-compressed',
    configurePreviewServer(server) {
      const root = join(server.config.root, server.config.build.outDir);
      server.middlewares.use((request, response, next) => {
        const { pathname } = new URL(request.url ?? '/', 'http://localhost');
        const path = normalize(join(root, pathname.endsWith('/') ? `${pathname}index.html` : pathname));
        const type = TYPES[extname(path)];
        const isOurs = path.startsWith(root + sep) && type !== undefined;
        if (!isOurs || request.method !== 'GET' || !/\bgzip\b/.test(String(request.headers['accept-encoding']))) {
          next();
          return;
        }
        const whole = packed.get(path) ?? readFile(path).then((bytes) => promisify(gzip)(bytes));
        packed.set(path, whole);
        whole
          .then((bytes) => {
            response.setHeader('Content-Type', type);
            response.setHeader('Content-Encoding', 'gzip');
            response.setHeader('Content-Length', bytes.length);
            response.setHeader('Cache-Control', 'no-cache');
            response.setHeader('Vary', 'Accept-Encoding');
            response.end(bytes);
          })
          .catch(() => {
            packed.delete(path);
            next();
          });
      });
    },
  };
}
