import { rmSync } from 'node:fs';
import { fileURLToPath, pathToFileURL } from 'node:url';
import { join } from 'node:path';
import { build } from 'vite';

/**
 * Runs `replay-run.ts` as it is built for the page: what runs TypeScript directly names each function anew whenever one is made, which takes
 * a fifth of the time of a replay and is in nothing that ships.
 */
const root = fileURLToPath(new URL('../..', import.meta.url));
// As deep in the project as the sources that find the grammars from where they lie.
const outDir = join(root, 'node_modules', '.replay-bench');
await build({
  configFile: false,
  root,
  publicDir: false,
  logLevel: 'error',
  build: { ssr: join(root, 'tests/bench/replay-run.ts'), outDir, emptyOutDir: true, target: 'esnext' },
});
await import(pathToFileURL(join(outDir, 'replay-run.js')).href);
rmSync(outDir, { recursive: true });
