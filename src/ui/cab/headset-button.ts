import { writeWav } from '../../hearing/wav.ts';

/** As much of the browser's media session as is used. */
type Session = Pick<MediaSession, 'setActionHandler' | 'playbackState'>;

/** Sound of nothing: a browser hands the button of a headset only to a page that plays something. */
interface Silence {
  play(): Promise<void>;
  pause(): void;
}

/** Shorter sounds are taken for a mere signal, and get no button; seconds. */
const LONG_ENOUGH = 10;
const RATE = 8_000;

/**
 * The play and pause button of a headset, while it is listened to: `pressed` is called at each press, as there is no telling when such a
 * button is let go. Nothing happens in a browser that knows of no such button, or that plays nothing yet.
 */
export class HeadsetButton {
  readonly #pressed: () => void;
  readonly #session: Session | null;
  readonly #silence: () => Silence;
  #playing: Silence | undefined;

  constructor(
    pressed: () => void,
    session: Session | null = 'mediaSession' in navigator ? navigator.mediaSession : null,
    silence: () => Silence = makeSilence,
  ) {
    this.#pressed = pressed;
    this.#session = session;
    this.#silence = silence;
  }

  /** Any number of times. */
  listen(): void {
    if (this.#session === null || this.#playing !== undefined) return;
    const playing = this.#silence();
    this.#playing = playing;
    this.#handle(() => this.#pressed());
    this.#session.playbackState = 'playing';
    // Without a press of the user before it nothing is played: it is tried again with the next change of the screen.
    playing.play().catch(() => {
      if (this.#playing === playing) this.stop();
    });
  }

  stop(): void {
    if (this.#session === null || this.#playing === undefined) return;
    this.#playing.pause();
    this.#playing = undefined;
    this.#handle(null);
    this.#session.playbackState = 'none';
  }

  /** Headsets send either, whatever they think is playing. */
  #handle(handler: (() => void) | null): void {
    for (const action of ['play', 'pause'] as const) this.#session?.setActionHandler(action, handler);
  }
}

function makeSilence(): Silence {
  const silence = new Blob([writeWav(new Float32Array(RATE * LONG_ENOUGH), RATE)], { type: 'audio/wav' });
  const address = URL.createObjectURL(silence);
  const audio = new Audio(address);
  audio.loop = true;
  return {
    play: () => audio.play(),
    pause() {
      audio.pause();
      URL.revokeObjectURL(address);
    },
  };
}
