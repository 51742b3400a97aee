import type { Player } from '../../../src/answering/embedded-speaker.ts';
import type { Room } from './room.ts';
import type { SampleClock } from './sample-clock.ts';

/** A player whose sound fills the room and takes its time on the sample clock. */
export function loudspeaker(room: Room, clock: SampleClock): Player {
  return {
    play(speech, { settings, cut, sounding }) {
      const sound = room.play(speech.samples, speech.rate, settings.volume, clock.now);
      sounding(speech);
      return new Promise((resolve) => {
        const stop = (): void => {
          sound.cut(clock.now);
          forget();
          resolve();
        };
        const forget = clock.at(sound.to, () => {
          cut.removeEventListener('abort', stop);
          resolve();
        });
        cut.addEventListener('abort', stop);
      });
    },
  };
}
