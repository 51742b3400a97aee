import { describe, expect, it } from 'vitest';
import { createVoice, type Saying, type Speaker } from '../../../src/answering/voice.ts';

/** A speaker whose phrases sound and end when the test says so. */
function handSpeaker(): Speaker & { readonly said: string[]; finish(heard?: boolean): void; fail(): void } {
  const said: string[] = [];
  let settle: { resolve(heard: boolean): void; reject(error: Error): void } | undefined;
  return {
    said,
    say(phrases: readonly string[], saying: Saying) {
      said.push(phrases.join(' '));
      saying.sounding();
      return new Promise((resolve, reject) => (settle = { resolve, reject }));
    },
    finish: (heard = true) => settle?.resolve(heard),
    fail: () => settle?.reject(new Error('broken')),
  };
}

const turn = async (): Promise<void> => {
  for (let i = 0; i < 20; i += 1) await Promise.resolve();
};

describe('the voice', () => {
  it('says answers one after the other and gates hearing while each sounds', async () => {
    const speaker = handSpeaker();
    const voice = createVoice([speaker]);
    const gate: boolean[] = [];
    voice.onSpeaking = (speaking) => gate.push(speaking);
    void voice.speak(['chocks', 'first.']);
    const done = voice.speak(['then the mirrors.']);
    await turn();
    expect(speaker.said).toEqual(['chocks first.']);
    expect(voice.speaking).toBe(true);
    speaker.finish();
    await turn();
    expect(speaker.said).toEqual(['chocks first.', 'then the mirrors.']);
    speaker.finish();
    await done;
    expect(gate).toEqual([true, false, true, false]);
  });

  it('falls silent at once when cancelled, forgets the queue, and speaks again afterwards', async () => {
    const speaker = handSpeaker();
    const voice = createVoice([speaker]);
    const first = voice.speak(['a long brief']);
    const second = voice.speak(['queued']);
    await turn();
    voice.cancel();
    await Promise.all([first, second]);
    expect(voice.speaking).toBe(false);
    void voice.speak(['after']);
    await turn();
    expect(speaker.said).toEqual(['a long brief', 'after']);
    expect(voice.speaking).toBe(true);
  });

  it('goes to the next speaker when one cannot say an answer or breaks, and ends in silence when none can', async () => {
    const breaks = handSpeaker();
    const cannot = handSpeaker();
    const voice = createVoice([breaks, cannot]);
    const done = voice.speak(['an unknown word']);
    await turn();
    breaks.fail();
    await turn();
    expect(cannot.said).toEqual(['an unknown word']);
    cannot.finish(false);
    await done;
    expect(voice.speaking).toBe(false);
  });
});
