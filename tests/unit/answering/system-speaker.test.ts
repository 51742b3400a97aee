import { describe, expect, it } from 'vitest';
import { bestVoice, systemSpeaker, type Synthesis } from '../../../src/answering/system-speaker.ts';
import type { Timers } from '../../../src/answering/voice.ts';

function voiceOf(name: string, lang: string, localService: boolean, isDefault = false): SpeechSynthesisVoice {
  return { name, lang, localService, default: isDefault, voiceURI: name };
}

/** Time that only the test moves. */
function handTimers(): Timers & { pass(ms: number): void } {
  let now = 0;
  let nextId = 1;
  const due = new Map<number, { at: number; action: () => void }>();
  return {
    set(action, ms) {
      due.set(nextId, { at: now + ms, action });
      return nextId++;
    },
    clear: (id) => void due.delete(id),
    pass(ms) {
      const end = now + ms;
      for (;;) {
        const next = [...due].filter(([, { at }]) => at <= end).sort(([, a], [, b]) => a.at - b.at)[0];
        if (next === undefined) break;
        due.delete(next[0]);
        now = next[1].at;
        next[1].action();
      }
      now = end;
    },
  };
}

/** A browser that fires only the events the test fires. */
function fakeBrowser(voices: SpeechSynthesisVoice[]) {
  const spoken: SpeechSynthesisUtterance[] = [];
  let cancelled = 0;
  const synthesis = {
    speaking: false,
    getVoices: () => voices,
    speak: (utterance: SpeechSynthesisUtterance) => void spoken.push(utterance),
    cancel: () => void (cancelled += 1),
  };
  return {
    synthesis: synthesis as unknown as Synthesis & { speaking: boolean },
    spoken,
    cancelled: () => cancelled,
  };
}

const makeUtterance = (text: string): SpeechSynthesisUtterance => ({ text }) as SpeechSynthesisUtterance;
const settings = { rate: 1, volume: 1, system: true };
const LOCAL = voiceOf('Local', 'en-GB', true);

function saying(cut = new AbortController()) {
  let sounding = false;
  return { settings, cut: cut.signal, sounding: () => void (sounding = true), isSounding: () => sounding };
}

describe('choosing among the browser’s voices', () => {
  it('takes an offline English voice before a network one, and none of another language', () => {
    const network = voiceOf('Cloud', 'en-US', false, true);
    expect(bestVoice([network, LOCAL])?.name).toBe('Local');
    expect(bestVoice([network])?.name).toBe('Cloud');
    expect(bestVoice([voiceOf('Anna', 'de-DE', true, true)])).toBeUndefined();
  });
});

describe('speaking through the browser', () => {
  it('says an answer in one breath and ends with the end event', async () => {
    const browser = fakeBrowser([LOCAL]);
    const request = saying();
    const said = systemSpeaker(browser.synthesis, makeUtterance, handTimers()).say(
      ['settled', '.', 'is that right', '?'],
      request,
    );
    expect(browser.spoken[0]!.text).toBe('Settled. Is that right?');
    browser.spoken[0]!.onstart!({} as SpeechSynthesisEvent);
    expect(request.isSounding()).toBe(true);
    browser.spoken[0]!.onend!({} as SpeechSynthesisEvent);
    expect(await said).toBe(true);
  });

  it('ends when the browser fell silent without an end event', async () => {
    const browser = fakeBrowser([LOCAL]);
    const timers = handTimers();
    const said = systemSpeaker(browser.synthesis, makeUtterance, timers).say(['Settled.'], saying());
    browser.spoken[0]!.onstart!({} as SpeechSynthesisEvent);
    browser.synthesis.speaking = true;
    timers.pass(600);
    browser.synthesis.speaking = false;
    timers.pass(600);
    expect(await said).toBe(true);
  });

  it('hands the phrase on when the browser never starts, or says that it failed', async () => {
    const browser = fakeBrowser([LOCAL]);
    const timers = handTimers();
    const speaker = systemSpeaker(browser.synthesis, makeUtterance, timers);
    const never = speaker.say(['Settled.'], saying());
    timers.pass(60_000);
    expect(await never).toBe(false);
    const fails = speaker.say(['Settled.'], saying());
    browser.spoken[1]!.onerror!({ error: 'synthesis-failed' } as SpeechSynthesisErrorEvent);
    expect(await fails).toBe(false);
  });

  it('is cut at once', async () => {
    const browser = fakeBrowser([LOCAL]);
    const cut = new AbortController();
    const said = systemSpeaker(browser.synthesis, makeUtterance, handTimers()).say(['A long brief.'], saying(cut));
    cut.abort();
    expect(await said).toBe(true);
    expect(browser.cancelled()).toBe(1);
  });
});
