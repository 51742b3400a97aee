/** How answers sound. */
interface VoiceSettings {
  /** 1 is the voice's own speed; 0.5 to 2. */
  readonly rate: number;
  /** 0 (silent) to 1. */
  readonly volume: number;
}

const DEFAULT_VOICE_SETTINGS: VoiceSettings = { rate: 1, volume: 1 };

/** The port through which answers are spoken. Captions are shown whether or not anything is heard. */
export interface Voice {
  /** Applies from the next phrase on. */
  settings: VoiceSettings;
  /**
   * Called with true when the sound of an answer begins and with false when it has ended or was cancelled: hearing is
   * gated in between. Not called while the sound is still being made.
   */
  onSpeaking: ((speaking: boolean) => void) | undefined;
  readonly speaking: boolean;
  /**
   * Says an answer, as worded by `word`, after whatever is still being said. Resolves when it has ended or was cancelled;
   * never rejects.
   */
  speak(phrases: readonly string[]): Promise<void>;
  /** Falls silent at once and forgets what is queued. */
  cancel(): void;
}

/** What a speaker is given with an answer. */
export interface Saying {
  readonly settings: VoiceSettings;
  /** Aborted when it must fall silent. */
  readonly cut: AbortSignal;
  /** To be called when the sound begins. */
  readonly sounding: () => void;
}

/** One way of making an answer heard. */
export interface Speaker {
  /** Resolves with true when it has been heard to its end or was cut, false when this speaker cannot say it. */
  say(phrases: readonly string[], saying: Saying): Promise<boolean>;
}

/** A voice that says its answers one after the other, each through the first speaker that can. */
export function createVoice(speakers: readonly Speaker[]): Voice {
  let tail = Promise.resolve();
  let speaking = false;
  let cut = new AbortController();

  function setSpeaking(now: boolean): void {
    if (speaking === now) return;
    speaking = now;
    voice.onSpeaking?.(now);
  }

  async function sayNow(phrases: readonly string[], signal: AbortSignal): Promise<void> {
    const over = new AbortController();
    const silenced = new Promise<true>((resolve) =>
      signal.addEventListener('abort', () => resolve(true), { once: true, signal: over.signal }),
    );
    for (const speaker of speakers) {
      if (signal.aborted) break;
      const sounding = (): void => {
        if (!signal.aborted) setSpeaking(true);
      };
      // A speaker that breaks is one that cannot say it: the caption still shows the words.
      const said = speaker.say(phrases, { settings: voice.settings, cut: signal, sounding }).catch(() => false);
      const done = await Promise.race([said, silenced]);
      setSpeaking(false);
      if (done) break;
    }
    // An answer that is over no longer waits to be cut off.
    over.abort();
  }

  const voice: Voice = {
    settings: DEFAULT_VOICE_SETTINGS,
    onSpeaking: undefined,
    get speaking() {
      return speaking;
    },
    speak(phrases) {
      if (phrases.length === 0) return tail;
      const signal = cut.signal;
      tail = tail.then(() => sayNow(phrases, signal));
      return tail;
    },
    cancel() {
      cut.abort();
      cut = new AbortController();
    },
  };
  return voice;
}
