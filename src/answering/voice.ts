/** How answers sound. */
export interface VoiceSettings {
  /** 1 is the voice's own speed; 0.5 to 2. */
  readonly rate: number;
  /** 0 (silent) to 1. */
  readonly volume: number;
}

export const DEFAULT_VOICE_SETTINGS: VoiceSettings = { rate: 1, volume: 1 };

/** The port through which answers are spoken. Captions are shown whether or not anything is heard. */
export interface Voice {
  /** Applies from the next phrase on. */
  settings: VoiceSettings;
  /**
   * Called with true when the sound of a phrase begins and with false when it has ended or was cancelled: hearing is
   * gated in between. Not called while a phrase is still being made.
   */
  onSpeaking: ((speaking: boolean) => void) | undefined;
  readonly speaking: boolean;
  /** Says the phrases after whatever is still being said. Resolves when they have ended or were cancelled; never rejects. */
  speak(phrases: readonly string[]): Promise<void>;
  /** Falls silent at once and forgets what is queued. */
  cancel(): void;
}

/** What a speaker is given with a phrase. */
export interface Saying {
  readonly settings: VoiceSettings;
  /** Aborted when the phrase must fall silent. */
  readonly cut: AbortSignal;
  /** To be called when the sound begins. */
  readonly sounding: () => void;
}

/** One way of making a phrase heard. */
export interface Speaker {
  /** Resolves with true when the phrase has been heard to its end or was cut, false when this speaker cannot say it. */
  say(phrase: string, saying: Saying): Promise<boolean>;
}

/** A voice that says its phrases one after the other, each through the first speaker that can. */
export function createVoice(speakers: readonly Speaker[]): Voice {
  let tail = Promise.resolve();
  let speaking = false;
  let cut = new AbortController();

  function setSpeaking(now: boolean): void {
    if (speaking === now) return;
    speaking = now;
    voice.onSpeaking?.(now);
  }

  async function sayAll(phrases: readonly string[], signal: AbortSignal): Promise<void> {
    const silenced = new Promise<true>((resolve) =>
      signal.addEventListener('abort', () => resolve(true), { once: true }),
    );
    for (const phrase of phrases) {
      for (const speaker of speakers) {
        if (signal.aborted) return;
        const sounding = (): void => {
          if (!signal.aborted) setSpeaking(true);
        };
        // A speaker that breaks is one that cannot say it: the caption still shows the words.
        const said = speaker.say(phrase, { settings: voice.settings, cut: signal, sounding }).catch(() => false);
        const done = await Promise.race([said, silenced]);
        setSpeaking(false);
        if (done) break;
      }
    }
  }

  const voice: Voice = {
    settings: DEFAULT_VOICE_SETTINGS,
    onSpeaking: undefined,
    get speaking() {
      return speaking;
    },
    speak(phrases) {
      const signal = cut.signal;
      tail = tail.then(() => sayAll(phrases, signal));
      return tail;
    },
    cancel() {
      cut.abort();
      cut = new AbortController();
    },
  };
  return voice;
}
