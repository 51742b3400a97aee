import { SWEEP, tone, type ToneName } from '../answering/tones.ts';
import { converse, SILENCE, type Happening } from '../answering/turn-taking.ts';
import type { Voice } from '../answering/voice.ts';
import { textOf, word, wordCaution } from '../answering/wording.ts';
import type { Answer } from '../check/answer.ts';
import type { Speech } from './live-check.ts';
import type { Settings } from './settings.ts';

/**
 * Speaks answers through a voice that may still be loading, each in its turn; until it is there the captions alone tell them. `steady` is
 * any clock in ms that only grows.
 */
export function speechOver(voice: Promise<Voice>, settings: () => Settings, steady: () => number): Speech {
  let ready: Voice | undefined;
  let talk = SILENCE;
  let hasSwept = false;
  const happens = (happening: Happening): void => {
    const turn = converse(talk, happening, steady());
    talk = turn.talk;
    if (turn.cut) ready?.cancel();
    const { say } = turn;
    if (say === undefined || ready === undefined) return;
    const { rate, volume } = settings();
    ready.settings = { rate, volume };
    if (!hasSwept) void ready.speak([SWEEP]);
    hasSwept = true;
    void ready.speak(say.phrases).then(() => {
      if (talk.saying === say) happens({ is: 'said' });
    });
  };
  const isAloud = (): boolean => settings().voice && ready !== undefined;
  const speech: Speech = {
    onSpeaking: undefined,
    speak(answers) {
      if (isAloud()) happens({ is: 'answers', answers, level: settings().talk });
    },
    sound(name: ToneName) {
      // Never over words.
      if (isAloud() && talk.saying === undefined) void ready?.speak([tone(name)]);
    },
    operator: (speaks) => happens({ is: 'operator', speaks }),
    pass: () => happens({ is: 'time' }),
    cancel() {
      talk = SILENCE;
      ready?.cancel();
    },
    caption,
  };
  void voice.then((loaded) => {
    ready = loaded;
    loaded.onSpeaking = (now) => speech.onSpeaking?.(now);
  });
  return speech;
}

/** In full at every level, so that nothing is told by a tone alone. */
function caption(answer: Answer): string {
  return textOf([...word(answer, 'full'), ...wordCaution(answer)]);
}

/** Speech whose answers are only shown: a recording is worked through faster than it could be answered aloud. */
export function captionsOnly(speech: Speech): Speech {
  return {
    speak: () => undefined,
    sound: () => undefined,
    operator: () => undefined,
    pass: () => undefined,
    cancel: () => undefined,
    onSpeaking: undefined,
    caption: (answer) => speech.caption(answer),
  };
}
