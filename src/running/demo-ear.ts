import type { Hearing, HearingEvents } from '../hearing/hearing.ts';
import { readWav } from '../hearing/wav.ts';
import { bad, good } from '../units/outcome.ts';
import type { Outcome, Problem } from '../units/outcome.ts';
import type { Ear } from './ear.ts';
import { recordingEar } from './recording-ear.ts';

const NO_DEMO = 'Run `npm run assets` to make it, then reload.';

/**
 * Fetches the recording and makes hearing ready for it. `hearing` begins one that tells its events to the functions
 * given. Progress from 0 to 1; fails with a plain problem when recording or model is missing.
 */
export async function loadDemoEar(
  address: URL,
  hearing: (events: HearingEvents) => Hearing,
  onProgress: (fraction: number) => void,
  cancelled: AbortSignal,
): Promise<Outcome<Ear>> {
  const bytes = await fetchWhole(address, (fraction) => onProgress(fraction * 0.5), cancelled);
  if (!bytes.ok) return bytes;
  const recording = readWav(bytes.value, 'the demo recording');
  if (!recording.ok) return recording;

  let problem: Problem | undefined;
  let events: HearingEvents = {
    heard: () => undefined,
    clock: () => undefined,
    loading: (fraction) => onProgress(0.5 + fraction * 0.5),
    problem: (told) => (problem = told),
  };
  const started = hearing({
    heard: (heard) => events.heard(heard),
    clock: (now, sound) => events.clock(now, sound),
    loading: (fraction) => events.loading?.(fraction),
    problem: (told) => events.problem(told),
  });
  cancelled.addEventListener('abort', () => void started.close());
  const ready = await started.ready;
  if (!ready) return problem === undefined ? bad('The ear did not start.') : { ok: false, problem };
  return good(recordingEar(recording.value, started, (to) => (events = to), 'Heard from a recording'));
}

async function fetchWhole(
  address: URL,
  onProgress: (fraction: number) => void,
  cancelled: AbortSignal,
): Promise<Outcome<Uint8Array>> {
  try {
    const response = await fetch(address, { signal: cancelled });
    // A server with a fallback page answers a missing file with HTML and status 200.
    const html = response.headers.get('content-type')?.startsWith('text/html') === true;
    if (!response.ok || html || response.body === null)
      return bad('The demo recording is not in this build.', undefined, NO_DEMO);
    const total = Number(response.headers.get('content-length'));
    const parts: Uint8Array<ArrayBuffer>[] = [];
    let taken = 0;
    for (const reader = response.body.getReader(); ;) {
      const { done, value } = await reader.read();
      if (done) break;
      parts.push(value);
      taken += value.length;
      if (total > 0) onProgress(Math.min(1, taken / total));
    }
    return good(new Uint8Array(await new Blob(parts).arrayBuffer()));
  } catch {
    return bad(
      'The demo recording could not be fetched.',
      undefined,
      'It is not kept for offline use: go online and try again.',
    );
  }
}
