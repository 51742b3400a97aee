import type { Recording } from '../hearing/wav.ts';

/** Whoever hears a recording: takes the next samples, and is done with them when the promise resolves. */
export interface Player {
  feed(samples: Float32Array, rate: number): Promise<void>;
  /** The sound has ended. */
  flush(): Promise<void>;
}

/** How much is handed over at once, in seconds: short enough to be cancelled at once, long enough not to count. */
const CHUNK_S = 0.5;

/**
 * Plays a recording to its end as fast as it is heard. After each part `goesOn` is asked, with the share that has been heard;
 * false stops, and then resolves with false: the sound has not ended.
 */
export async function playRecording(
  { samples, rate }: Recording,
  to: Player,
  goesOn: (heard: number) => boolean,
): Promise<boolean> {
  const chunk = Math.round(rate * CHUNK_S);
  for (let from = 0; from < samples.length; from += chunk) {
    await to.feed(samples.slice(from, from + chunk), rate);
    if (!goesOn(Math.min(1, (from + chunk) / samples.length))) return false;
  }
  await to.flush();
  return true;
}
