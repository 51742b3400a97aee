import type { Voice } from '../answering/voice.ts';
import { textOf, word } from '../answering/wording.ts';
import type { Speech } from './live-check.ts';
import type { Settings } from './settings.ts';

/** Speaks answers through a voice that may still be loading; until it is there the captions alone tell them. */
export function speechOver(voice: Promise<Voice>, settings: () => Settings): Speech {
  let ready: Voice | undefined;
  const speech: Speech = {
    onSpeaking: undefined,
    speak(answers) {
      const { voice: aloud, terse, rate, volume } = settings();
      if (!aloud || ready === undefined) return;
      ready.settings = { rate, volume };
      void ready.speak(answers.flatMap((answer) => word(answer, { terse })));
    },
    cancel: () => ready?.cancel(),
    caption: (answer) => textOf(word(answer, { terse: settings().terse })),
  };
  void voice.then((loaded) => {
    ready = loaded;
    loaded.onSpeaking = (speaking) => speech.onSpeaking?.(speaking);
  });
  return speech;
}

/** Speech whose answers are only shown: a recording is worked through faster than it could be answered aloud. */
export function captionsOnly(speech: Speech): Speech {
  return {
    speak: () => undefined,
    cancel: () => undefined,
    onSpeaking: undefined,
    caption: (answer) => speech.caption(answer),
  };
}
