import type { Gain } from '../../hearing/gain.ts';
import type { Advice } from '../../hearing/sound-check/advice.ts';
import type { SoundFigures } from '../../hearing/sound-check/figures.ts';
import type { Understood } from '../../running/sound-trial.ts';

export const GAIN_WORDS: Readonly<Record<Gain, string>> = {
  '0': 'As the microphone gives it',
  '6': '6 dB more',
  '12': '12 dB more',
  '20': '20 dB more',
  auto: 'The device turns it up and down by itself',
};

/** What is wrong, and then what to do, in plain words. */
export function adviceWords(advice: Advice): { readonly wrong: string; readonly todo: string } {
  switch (advice.is) {
    case 'silent':
      return {
        wrong: 'The microphone gives nothing but silence.',
        todo: 'Switch it on, or choose another one. The check can be done by touch and keys.',
      };
    case 'unheard':
      return advice.quiet
        ? { wrong: 'No speech was heard.', todo: 'Speak again, closer to the microphone, or choose another one.' }
        : {
            wrong: 'No speech stood out of the noise.',
            todo: 'Hold the phone closer, turn the fan down, and speak again. Or use push-to-talk.',
          };
    case 'clips':
      return {
        wrong: `Too loud: ${percent(advice.clipped)} of the sound is cut off.`,
        todo: 'Hold the phone a little farther away, or choose less gain.',
      };
    case 'faint':
      return {
        wrong: `Too faint: your voice has ${decibels(advice.level)}.`,
        todo: 'Hold the phone closer and speak up, or choose more gain.',
      };
    case 'drowned':
      return {
        wrong: `The cab drowns your voice: it stands out by ${decibels(advice.snr)}, and 15 dB are good.`,
        todo: 'Hold the phone closer, turn the fan and the radio down, or use push-to-talk.',
      };
    case 'noisy':
      return {
        wrong: `Some callouts may be lost: your voice stands out by ${decibels(advice.snr)}, and 15 dB are good.`,
        todo: 'Hold the phone closer, or turn the fan down.',
      };
    case 'narrow':
      return {
        wrong: 'The microphone sounds like a telephone (8 kHz): it lacks the hiss of “six” and “seven”.',
        todo: 'If you have another one, choose that.',
      };
  }
}

/** Where push-to-talk is what to do: nothing else reaches the ear then, and the pad is held near the mouth. */
export function asksForPush(advice: readonly Advice[]): boolean {
  return advice.some((each) => each.is === 'drowned' || (each.is === 'unheard' && !each.quiet));
}

export function understoodWords(understood: Understood): string {
  if (understood === 'waiting') return 'The ear is still at it.';
  if (understood === 'right') return 'The ear understood every word.';
  if (understood === 'nothing') return 'The ear did not understand it. Speak again, word for word.';
  return `The ear heard “${understood.heard}”. Speak again, word for word.`;
}

export function figureWords({ rate, floor, phrase }: SoundFigures): string {
  const cab = `Noise of the cab ${decibels(floor)}`;
  const device = `sound at ${String(Math.round(rate / 100) / 10)} kHz`;
  if (phrase === undefined) return `${cab}; ${device}.`;
  const { level, snr, clipped } = phrase;
  return `${cab}, voice ${decibels(level)} of full scale; it stands out by ${decibels(snr)}; ${percent(clipped)} cut off; ${device}.`;
}

function decibels(value: number): string {
  return `${String(Math.round(value)).replace('-', '−')} dB`;
}

function percent(share: number): string {
  return share > 0 && share < 0.01 ? 'less than 1 %' : `${Math.round(share * 100)} %`;
}
