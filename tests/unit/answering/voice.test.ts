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
  it('says answers one after the other, and tells what sounds and when it is over', async () => {
    const speaker = handSpeaker();
    const voice = createVoice([speaker]);
    const told: (string | undefined)[] = [];
    voice.onSpeaking = (now) => told.push(now?.phrases.join(' '));
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
    expect(told).toEqual(['chocks first.', undefined, 'then the mirrors.', undefined]);
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

  it('tells once that it cannot be heard, and when it is again', async () => {
    const speaker = handSpeaker();
    const voice = createVoice([speaker]);
    const told: unknown[] = [];
    voice.onTrouble = (trouble) => told.push(trouble);
    for (const isHeard of [true, false, false, true]) {
      const said = voice.speak(['settled']);
      await turn();
      speaker.finish(isHeard);
      await said;
    }
    expect(told).toEqual(['unheard', undefined]);
  });

  it('cuts off a speaker that never ends, and says what comes after it', async () => {
    const speaker = handSpeaker();
    let ring: () => void = () => undefined;
    const voice = createVoice([speaker], { set: (action) => ((ring = action), 1), clear: () => undefined });
    const told: unknown[] = [];
    voice.onTrouble = (trouble) => told.push(trouble);
    const stuck = voice.speak(['a word that never ends']);
    await turn();
    ring();
    await stuck;
    expect(voice.speaking).toBe(false);
    void voice.speak(['after']);
    await turn();
    expect(speaker.said.at(-1)).toBe('after');
    speaker.finish();
    await turn();
    expect(told).toEqual(['stuck', undefined]);
  });
});
