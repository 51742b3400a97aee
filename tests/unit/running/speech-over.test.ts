import { afterEach, describe, expect, it, vi } from 'vitest';
import { chooseVoice, type VoiceHost } from '../../../src/answering/choose-voice.ts';
import { webAudioPlayer } from '../../../src/answering/embedded-speaker.ts';
import type { Answer } from '../../../src/check/answer.ts';
import { DEFAULT_SETTINGS } from '../../../src/running/settings.ts';
import { speechOver } from '../../../src/running/speech-over.ts';
import { needles } from '../check/support/say.ts';

const ASKED: Answer = { type: 'question', reading: needles(105, 118), because: 'implausible' };
const MINUTE = 60_000;
const CLIP = { samples: new Float32Array(1600), rate: 16_000 };
const CLIPS: VoiceHost['sources'] = {
  loadPack: () => Promise.resolve({ clip: () => CLIP }),
  synthesise: () => Promise.resolve(CLIP),
};
const NONE: VoiceHost['sources'] = {
  loadPack: () => Promise.resolve(undefined),
  synthesise: () => Promise.resolve(undefined),
};
const VOICE = { localService: true, default: true, lang: 'en-US' } as SpeechSynthesisVoice;

/** A system's voice that takes every utterance, and whatever becomes of it. */
function system(speak: (utterance: SpeechSynthesisUtterance) => void): Partial<VoiceHost> {
  return { synthesis: { getVoices: () => [VOICE], speak, cancel: () => undefined, speaking: true } };
}

/** A check's voice in a host that lacks something, and the lines that are shown of it. */
function troubled(host: Partial<VoiceHost>, systemVoice = false) {
  const played: number[] = [];
  const voice = chooseVoice({
    makeUtterance: (text) => ({ text }) as SpeechSynthesisUtterance,
    sources: CLIPS,
    player: {
      play: ({ samples }) => {
        played.push(samples.length);
        return Promise.resolve();
      },
    },
    ...host,
  });
  let steady = 0;
  const lines: (string | undefined)[] = [];
  const speech = speechOver(
    voice,
    () => ({ ...DEFAULT_SETTINGS, systemVoice }),
    () => steady,
  );
  speech.onTrouble = (line) => lines.push(line);
  return {
    lines,
    played,
    voice,
    answers: async (...answers: readonly Answer[]): Promise<void> => {
      speech.speak(answers);
      await vi.advanceTimersByTimeAsync(MINUTE);
      steady += MINUTE;
      speech.pass();
      await vi.advanceTimersByTimeAsync(MINUTE);
    },
  };
}

describe('a check whose tool has', () => {
  afterEach(() => vi.useRealTimers());

  it('no loudspeaker says so in one line, and nothing waits for its voice', async () => {
    vi.useFakeTimers();
    const context = { state: 'suspended', resume: () => new Promise<void>(() => undefined) } as unknown as AudioContext;
    const { answers, lines, voice } = troubled({ player: webAudioPlayer(() => context) });
    await answers(ASKED, ASKED);
    expect(lines).toEqual([expect.stringMatching(/^The tool cannot be heard: .* on the screen\.$/)]);
    expect(voice.speaking).toBe(false);
  });

  it('no voice sounds a tone where its words would be, so that they are looked for on the screen', async () => {
    vi.useFakeTimers();
    const unsaid: string[] = [];
    const { answers, played } = troubled({ sources: NONE, unsaid: (phrase) => unsaid.push(phrase) });
    await answers(ASKED);
    expect(unsaid).toContain('is that right');
    expect(played.length).toBeGreaterThan(0);
  });

  it('a system’s voice that never begins is given up, and its words are said by the tool’s own', async () => {
    vi.useFakeTimers();
    const { answers, played, voice } = troubled(
      system(() => undefined),
      true,
    );
    await answers(ASKED);
    expect(played.length).toBeGreaterThan(0);
    expect(voice.speaking).toBe(false);
  });

  it('a voice that never ends is broken off in one line, and goes on speaking afterwards', async () => {
    vi.useFakeTimers();
    let isStuck = true;
    const play = (): Promise<void> => (isStuck ? new Promise(() => undefined) : Promise.resolve());
    const { answers, lines, voice } = troubled({ player: { play } });
    await answers(ASKED);
    expect(lines).toEqual([expect.stringMatching(/^An answer did not come to its end/)]);
    isStuck = false;
    await answers(ASKED);
    expect(lines.at(-1)).toBeUndefined();
    expect(voice.speaking).toBe(false);
  });
});
