import type { Hearing, HearingEvents } from '../hearing/hearing.ts';
import type { Recording } from '../hearing/wav.ts';
import type { Ear, EarListener } from './ear.ts';

/** How much is handed over at once: short enough to be cancelled at once, long enough not to count. */
const CHUNK_SECONDS = 0.5;

/**
 * A recording as an ear: heard as fast as the machine can, on the recording's own clock.
 * `hearing` is ready, and tells its events to what `tellTo` is given.
 */
export function recordingEar(
  recording: Recording,
  hearing: Hearing,
  tellTo: (events: HearingEvents) => void,
  line: string,
): Ear {
  let closed = false;

  async function play(listener: EarListener): Promise<void> {
    const chunk = Math.round(recording.rate * CHUNK_SECONDS);
    for (let from = 0; from < recording.samples.length && !closed; from += chunk) {
      await hearing.feed(recording.samples.slice(from, from + chunk), recording.rate);
      listener.state('listening', `${line}: ${Math.round((100 * from) / recording.samples.length)} % heard`);
    }
    if (closed) return;
    listener.state('listening', `${line}: all heard`);
    await hearing.flush();
    listener.end();
  }

  return {
    open(listener) {
      tellTo({
        heard: (heard) => listener.heard(heard),
        clock: (now, sound) => {
          listener.level(sound, now);
          return listener.progress(now);
        },
        problem: (problem) => listener.state('listening', problem.what),
      });
      void listener.progress(0);
      void play(listener);
      return Promise.resolve();
    },
    retry: () => Promise.resolve(),
    listenFor: (ruleset) => hearing.listenFor(ruleset),
    talk: () => undefined,
    close() {
      closed = true;
      return hearing.close();
    },
  };
}
