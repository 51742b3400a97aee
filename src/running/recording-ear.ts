import type { Hearing, HearingEvents } from '../hearing/hearing.ts';
import type { Recording } from '../hearing/wav.ts';
import type { Ear, EarEvents } from './ear.ts';
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

  async function play(events: EarEvents): Promise<void> {
    const ended = await playRecording(recording, hearing, (heard) => {
      if (!closed) events.state('listening', `${line}: ${Math.round(100 * heard)} % heard`);
      return !closed;
    });
    if (ended) events.end();
  }

  return {
    open(events) {
      tellTo({
        heard: (heard) => events.heard(heard),
        clock: (now, sound) => {
          events.level(sound, now);
          return events.progress(now);
        },
        problem: (problem) => events.state('listening', problem.what),
      });
      void events.progress(0);
      void play(events);
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
