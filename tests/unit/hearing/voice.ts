import type { FliteVoice, Speech } from '../../../src/answering/flite.ts';
import { cachedFlite } from '../../../src/cli/assets/cached-flite.ts';

const flite = cachedFlite();
const spoken = new Map<string, Promise<Speech>>();

/** Synthetic speech, the same for the same text and voice; rendered once on a machine. */
export function renderedOnce(text: string, voice: FliteVoice): Promise<Speech> {
  const key = `${voice} ${text}`;
  const known = spoken.get(key) ?? flite.speak(text, voice);
  spoken.set(key, known);
  return known;
}

/** Synthetic speech at 16 kHz. A copy, that may be changed. */
export async function speak(text: string, voice: Exclude<FliteVoice, 'kal'>): Promise<Float32Array> {
  return (await renderedOnce(text, voice)).samples.slice();
}
