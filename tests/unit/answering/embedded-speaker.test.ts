import { describe, expect, it } from 'vitest';
import { encodeAdpcm } from '../../../src/answering/adpcm.ts';
import { chooseVoice } from '../../../src/answering/choose-voice.ts';
import type { EmbeddedSources } from '../../../src/answering/embedded-speaker.ts';
import type { Speech } from '../../../src/answering/flite.ts';
import type { Synthesis } from '../../../src/answering/system-speaker.ts';
import type { Timers } from '../../../src/answering/voice.ts';
import { readVoicePack } from '../../../src/answering/voice-pack.ts';

const CLIPS = encodeAdpcm(new Float32Array(400).fill(0.2));
const INDEX = { format: 'two-needles-voice', version: 1, voice: 'slt', rate: 16_000, clips: { settled: [0, 200] } };

function sources(synthesised: Speech | undefined): EmbeddedSources & { readonly asked: string[] } {
  const asked: string[] = [];
  return {
    asked,
    loadPack: () => {
      const pack = readVoicePack(INDEX, CLIPS);
      return Promise.resolve(pack.ok ? pack.value : undefined);
    },
    synthesise: (phrase) => {
      asked.push(phrase);
      return Promise.resolve(synthesised);
    },
  };
}

/** Nothing that is said is ever stuck. */
const NEVER: Timers = { set: () => 0, clear: () => undefined };

function embedded(from: EmbeddedSources, synthesis?: Synthesis) {
  const played: number[] = [];
  const unsaid: string[] = [];
  const voice = chooseVoice({
    ...(synthesis === undefined ? {} : { synthesis }),
    makeUtterance: (text) => ({ text }) as SpeechSynthesisUtterance,
    sources: from,
    player: { play: (speech) => (played.push(speech.samples.length), Promise.resolve()) },
    timers: NEVER,
    unsaid: (phrase) => unsaid.push(phrase),
  });
  return { voice, played, unsaid };
}

describe('the embedded voice', () => {
  it('joins clips, pauses and live speech into one sound, and synthesises only what is in no clip', async () => {
    const from = sources({ samples: new Float32Array(1234), rate: 16_000 });
    const { voice, played } = embedded(from);
    await voice.speak(['settled', 'toString']);
    await voice.speak(['settled', '.', 'settled']);
    expect(from.asked).toEqual(['toString']);
    expect(played[0]).toBe(400 + 1234);
    // A pause at the end of a sentence: some tenths of a second, 16 samples to the ms.
    expect((played[1]! - 800) / 16).toBeGreaterThan(200);
  });

  it('begins at once, though live speech begins with silence', async () => {
    const speech = new Float32Array(4000);
    speech.fill(0.3, 3000);
    const { voice, played } = embedded(sources({ samples: speech, rate: 16_000 }));
    await voice.speak(['a free text']);
    // Ten ms at most before its first sound.
    expect(played[0]).toBeGreaterThanOrEqual(1000);
    expect(played[0]).toBeLessThanOrEqual(1000 + 160);
  });

  it('has a tone in the place of what nothing can say, and tells it to be shown', async () => {
    const { voice, played, unsaid } = embedded(sources(undefined));
    await voice.speak(['a free text', '.', 'another']);
    expect(unsaid).toEqual(['a free text', 'another']);
    await voice.speak(['settled', 'a free text']);
    const [toneAlone = 0, both = 0] = played;
    // A tone that is noticed: at least a tenth of a second, and once.
    expect(toneAlone / 16).toBeGreaterThan(100);
    expect(both - 400).toBeGreaterThan(1600);
    await voice.speak(['settled']);
    expect(played.at(-1)).toBe(400);
  });

  it('leaves a sentence that it lacks a phrase of to the system’s voice as a whole', async () => {
    const english = { name: 'Local', lang: 'en-US', localService: true, default: true, voiceURI: 'Local' };
    const spoken: string[] = [];
    const browser = {
      getVoices: () => [english],
      cancel: () => undefined,
      speak: (utterance: SpeechSynthesisUtterance) => {
        spoken.push(utterance.text);
        utterance.onend?.(undefined as unknown as SpeechSynthesisEvent);
      },
    } as unknown as Synthesis;
    const { voice, played, unsaid } = embedded(sources(undefined), browser);
    await voice.speak(['settled', '.', 'a free text']);
    expect([spoken, played, unsaid]).toEqual([['Settled. A free text'], [], []]);
  });

  it('speaks though the browser has a voice, which speaks where it is wanted or nothing else can', async () => {
    const english = { name: 'Local', lang: 'en-US', localService: true, default: true, voiceURI: 'Local' };
    const spoken: string[] = [];
    const browser = {
      getVoices: () => [english],
      cancel: () => undefined,
      speak: (utterance: SpeechSynthesisUtterance) => {
        spoken.push(utterance.text);
        utterance.onend?.(undefined as unknown as SpeechSynthesisEvent);
      },
    } as unknown as Synthesis;
    const { voice, played } = embedded(sources(undefined), browser);
    await voice.speak(['settled']);
    expect([played, spoken]).toEqual([[400], []]);
    await voice.speak(['a free text']);
    expect(spoken).toEqual(['A free text']);
    voice.settings = { ...voice.settings, system: true };
    await voice.speak(['settled']);
    expect([played, spoken]).toEqual([[400], ['A free text', 'Settled']]);
  });
});

describe('the clip pack', () => {
  it('is refused when it was cut short or is of another kind', () => {
    const cut = readVoicePack(INDEX, CLIPS.subarray(0, 150));
    const other = readVoicePack({ format: 'something-else' }, CLIPS);
    expect(!cut.ok && cut.problem.what).toMatch(/cut short/);
    expect(other.ok).toBe(false);
  });
});
