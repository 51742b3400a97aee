import type { Hearing, HearingEvents } from '../hearing/hearing.ts';
import type { Recording } from '../hearing/wav.ts';
import type { Ear, EarListener } from './ear.ts';
import { playRecording } from './play-recording.ts';

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
    const ended = await playRecording(recording, hearing, (heard) => {
      if (!closed) listener.state('listening', `${line}: ${Math.round(100 * heard)} % heard`);
      return !closed;
    });
    if (ended) listener.end();
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
