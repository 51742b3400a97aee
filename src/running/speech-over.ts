import { SWEEP, tone, type ToneName } from '../answering/tones.ts';
import { converse, SILENCE, type Happening } from '../answering/turn-taking.ts';
import type { Voice, VoiceTrouble } from '../answering/voice.ts';
import { textOf, word, wordCaution } from '../answering/wording.ts';
import type { Answer } from '../check/answer.ts';
import type { Speech } from './live-check.ts';
import type { Settings } from './settings.ts';

const TROUBLE: Readonly<Record<VoiceTrouble, string>> = {
  unheard: 'The tool cannot be heard: no loudspeaker or no voice works here. Read its answers on the screen.',
  stuck: 'An answer did not come to its end and was broken off. What it said is on the screen.',
};

/** Speaks answers through a voice, each in its turn. `steady` is any clock in ms that only grows. */
export function speechOver(voice: Voice, settings: () => Settings, steady: () => number): Speech {
  let talk = SILENCE;
  let hasSwept = false;
  const happens = (happening: Happening): void => {
    const turn = converse(talk, happening, steady());
    talk = turn.talk;
    if (turn.cut) voice.cancel();
    const { say } = turn;
    if (say === undefined) return;
    const { rate, volume, systemVoice: system } = settings();
    voice.settings = { rate, volume, system };
    if (!hasSwept) void voice.speak([SWEEP]);
    hasSwept = true;
    void voice.speak(say.phrases).then(() => {
      if (talk.saying === say) happens({ is: 'said' });
    });
  };
  const speech: Speech = {
    onSpeaking: undefined,
    speak(answers) {
      if (settings().voice) happens({ is: 'answers', answers, level: settings().talk });
    },
    sound(name: ToneName) {
      // Never over words.
      if (settings().voice && talk.saying === undefined) void voice.speak([tone(name)]);
    },
    operator: (speaks, pressed = false) => happens({ is: 'operator', speaks, pressed }),
    pass(answer) {
      const { voice: speaks, talk: level } = settings();
      happens({ is: 'time', due: answer === undefined || !speaks ? undefined : { answer, level } });
    },
    cancel() {
      talk = SILENCE;
      voice.cancel();
    },
    caption,
  };
  voice.onTrouble = (trouble) => speech.onTrouble?.(trouble === undefined ? undefined : TROUBLE[trouble]);
  voice.onSpeaking = (now) => {
    const asks = talk.saying?.weight === 'question' && talk.saying.phrases === now?.phrases;
    speech.onSpeaking?.(now === undefined ? undefined : { ...now, asks });
  };
  return speech;
}

/** In full at every level, so that nothing is told by a tone alone. */
function caption(answer: Answer): string {
  return textOf([...word(answer, 'full'), ...wordCaution(answer)]);
}
