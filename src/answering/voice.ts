import type { Played } from '../units/played.ts';

/** How answers sound. */
interface VoiceSettings {
  /** 1 is the voice's own speed; 0.5 to 2. */
  readonly rate: number;
  /** 0 (silent) to 1. */
  readonly volume: number;
  /** Speaks with the system's own voice, whose sound nobody knows. */
  readonly system: boolean;
}

const DEFAULT_VOICE_SETTINGS: VoiceSettings = { rate: 1, volume: 1, system: false };

/** What is heard of an answer while it sounds. */
export interface Sounding {
  readonly phrases: readonly string[];
  /** What the loudspeaker is given, where that is known: a voice of the system keeps it to itself. */
  readonly sound?: Played;
  /** It begins so many ms from now. */
  readonly inMs: number;
  /** It asks something. */
  readonly asks?: boolean;
}

/** `unheard`: nothing here could make an answer heard; `stuck`: it never began or never ended, and was cut off. */
export type VoiceTrouble = 'unheard' | 'stuck';

/** The port through which answers are spoken. Captions are shown whether or not anything is heard. */
export interface Voice {
  /** Applies from the next phrase on. */
  settings: VoiceSettings;
  /**
   * Called with what sounds when the sound of an answer begins, and with undefined when it has ended or was cancelled. Not called while
   * the sound is still being made.
   */
  onSpeaking: ((now: Sounding | undefined) => void) | undefined;
  /** Called when something is wrong with the voice, and with undefined when an answer was heard again. */
  onTrouble?: ((trouble: VoiceTrouble | undefined) => void) | undefined;
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
  /** To be called when the sound begins, with the sound as it is played where it is known, and when it does. */
  readonly sounding: (sound?: Sounding['sound'], inMs?: number) => void;
}

/** One way of making an answer heard. */
export interface Speaker {
  /** Resolves with true when it has been heard to its end or was cut, false when this speaker cannot say it. */
  say(phrases: readonly string[], saying: Saying): Promise<boolean>;
}

/** Timers of the host, in ms. */
export interface Timers {
  set(action: () => void, ms: number): number;
  clear(id: number): void;
}

/** Longer than any voice takes for a phrase and its preparation. */
const LONGEST = { ms: 12_000, perCharacter: 200 } as const;

/**
 * A voice that says its answers one after the other, each through the first speaker that can. With `timers`, one that never begins or never
 * ends is cut off: what comes after it is said.
 */
export function createVoice(speakers: readonly Speaker[], timers?: Timers): Voice {
  let tail = Promise.resolve();
  let now: Sounding | undefined;
  let cut = new AbortController();
  let trouble: VoiceTrouble | undefined;

  function setSounding(next: Sounding | undefined): void {
    if (now === next) return;
    now = next;
    voice.onSpeaking?.(next);
  }

  function setTrouble(next: VoiceTrouble | undefined): void {
    if (trouble === next) return;
    trouble = next;
    voice.onTrouble?.(next);
  }

  async function sayNow(phrases: readonly string[], signal: AbortSignal): Promise<void> {
    const over = new AbortController();
    const silenced = new Promise<true>((resolve) =>
      signal.addEventListener('abort', () => resolve(true), { once: true, signal: over.signal }),
    );
    const length = phrases.reduce((sum, phrase) => sum + phrase.length, 0);
    const watchdog = timers?.set(
      () => {
        setTrouble('stuck');
        voice.cancel();
      },
      LONGEST.ms + length * LONGEST.perCharacter,
    );
    let isHeard = false;
    for (const speaker of speakers) {
      if (signal.aborted) break;
      const sounding: Saying['sounding'] = (sound, inMs = 0) => {
        if (!signal.aborted) setSounding({ phrases, inMs, ...(sound === undefined ? {} : { sound }) });
      };
      // A speaker that breaks is one that cannot say it: the caption still shows the words.
      const said = speaker.say(phrases, { settings: voice.settings, cut: signal, sounding }).catch(() => false);
      const done = await Promise.race([said, silenced]);
      setSounding(undefined);
      isHeard = done;
      if (done) break;
    }
    if (watchdog !== undefined) timers?.clear(watchdog);
    if (!signal.aborted) setTrouble(isHeard ? undefined : 'unheard');
    // An answer that is over no longer waits to be cut off.
    over.abort();
  }

  const voice: Voice = {
    settings: DEFAULT_VOICE_SETTINGS,
    onSpeaking: undefined,
    get speaking() {
      return now !== undefined;
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
