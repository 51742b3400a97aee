import { describe, expect, it } from 'vitest';
import type { CheckEvent } from '../../../src/check/event.ts';
import { LiveCheck, type LiveParts } from '../../../src/running/live-check.ts';
import { DEFAULT_SETTINGS } from '../../../src/running/settings.ts';
import type { Whose } from '../../../src/hearing/own-voice/own-voice.ts';
import { needles, only, startOf, Walk } from '../check/support/say.ts';
import { BenchOfCheck } from './support/bench-of-check.ts';

const START = startOf({ plan: only('approach', 'pre-start-fill') });
const HOLD = startOf({ plan: only('static-leakage') });

async function opened(start = START, more: Partial<LiveParts> = {}): Promise<BenchOfCheck> {
  const bench = await new BenchOfCheck(start, [], more).open();
  bench.steady = 5000;
  await bench.listen();
  return bench;
}

/** A hold that runs, by touch. */
async function holding(): Promise<BenchOfCheck> {
  const bench = await opened(HOLD);
  for (const cue of ['engine-off', 'brakes-released', 'settled']) bench.live.act({ do: 'cue', cue }, 'touch');
  bench.live.act({ do: 'reading', reading: needles(120, 120), correction: false, took: 0 }, 'touch');
  await bench.settle();
  expect(bench.live.state?.phase).toBe('holding');
  return bench;
}

const SAYS = { phrases: ['chocks set', '.', 'engine off', '.'], inMs: 0 } as const;
const PARTS = { clear: 0, operator: 0, somebody: 0, own: 0, unknown: 0 } as const;

describe('a live check and its own voice', () => {
  async function speaking(heardAs: Partial<Record<Whose, number>>): Promise<BenchOfCheck> {
    const bench = await opened();
    bench.whose = { ...PARTS, ...heardAs };
    bench.speech.onSpeaking?.(SAYS);
    await bench.pass(2000);
    expect(bench.live.live.speaking).toBe(true);
    return bench;
  }

  it('takes what the operator says over it, and is cut off by it', async () => {
    const bench = await speaking({ operator: 0.9, own: 0.1 });
    await bench.say('chocks set');
    expect(bench.live.state?.progress.cues).toEqual(['chocks-set']);
    expect(bench.asked).toEqual(['own voice', 'operator speaks', 'operator is silent']);
  });

  it('takes nothing of what is its own, and says nothing of it', async () => {
    const bench = await speaking({ own: 0.8, clear: 0.2 });
    await bench.say('chocks set');
    expect(bench.kept).toEqual([]);
    expect(bench.live.live.heard).toBeUndefined();
  });

  it('where the sound does not tell, drops what repeats it and asks for what does not to be said again', async () => {
    const bench = await speaking({ unknown: 1 });
    await bench.say('chocks set');
    expect(bench.kept).toEqual([]);
    expect(bench.live.live.heard).toBeUndefined();
    await bench.say('mirrors set');
    expect(bench.kept).toEqual([]);
    expect(bench.live.live.heard?.used).toBe(false);
    expect(bench.asked).toContain('not-taken');
  });

  it('lets needles of which that is not known be asked about, and takes what speaks against a measurement', async () => {
    const bench = await holding();
    bench.whose = { ...PARTS, unknown: 1 };
    bench.speech.onSpeaking?.(SAYS);
    await bench.pass(1500);
    await bench.say('both one hundred eighteen');
    expect(bench.live.state?.phase).toBe('asking');
    await bench.say('engine started');
    expect(bench.spoken.map(({ type }) => type)).toContain('contradicted');
  });

  it('takes a stop over it whatever the sound tells', async () => {
    const bench = await speaking({ unknown: 1 });
    await bench.say('stop the check');
    expect(bench.live.state?.phase).toBe('stopping');
  });

  it('tells the voice as soon as somebody speaks, before any word is understood', async () => {
    const bench = await opened();
    bench.ear.operator?.(true);
    bench.ear.operator?.(false);
    expect(bench.asked).toEqual(['operator speaks', 'operator is silent']);
  });

  it('is silenced by the pad', async () => {
    const bench = await speaking({});
    bench.live.act({ do: 'talk', down: true }, 'touch');
    expect(bench.asked).toEqual(['own voice', 'pressed', 'talk']);
    expect(bench.live.live.talking).toBe(true);
    bench.live.act({ do: 'talk', down: false }, 'touch');
    expect(bench.live.live.talking).toBe(false);
  });

  it('sounds a tone for words that were heard and mean nothing here, and none for those that were answered', async () => {
    const bench = await opened();
    await bench.say('chocks set');
    expect(bench.asked).toEqual([]);
    await bench.say('chocks chocks');
    expect(bench.asked).toEqual(['not-taken']);
  });
});

describe('what a live check keeps', () => {
  it('the start before the ear is opened, and each callout with its sound', async () => {
    const bench = await opened();
    expect(bench.stored.map(({ type }) => type)).toEqual(['start']);
    await bench.say('chocks set', { clip: new Float32Array(160) });
    await bench.say('mirrors set');
    const [, first, second] = bench.stored;
    expect(first).toMatchObject({ type: 'callout', source: 'voice', heard: 'chocks set', clip: 'check-1-1-1' });
    expect(second).not.toHaveProperty('clip');
    expect(bench.clips).toEqual(['check-1-1-1 of check-1, 160 bytes']);
  });

  it('no sound of talk that is not for the check, but what is said into a note', async () => {
    const bench = await opened();
    await bench.say('', { rejected: true });
    expect(bench.kept).toEqual([]);
    await bench.say('take a note');
    await bench.say('', { rejected: true, clip: new Float32Array(160) });
    expect(bench.live.state?.callouts.at(-1)).toMatchObject({ note: true });
    expect(bench.live.live.heard).toEqual({ words: '(speech)', taken: 'kept as a note', used: true });
    expect(bench.clips).toHaveLength(1);
  });

  it('needles that were keyed in at the time of the first key', async () => {
    const bench = await opened();
    await bench.pass(4000);
    bench.live.act({ do: 'reading', reading: needles(75, 74), correction: false, took: 3000 }, 'key');
    await bench.settle();
    expect(bench.stored.at(-1)).toMatchObject({ type: 'callout', source: 'key', at: 6000, end: 9000 });
  });

  it('one mark for a sound that is heard twice, and one for each kind', async () => {
    const bench = await opened();
    const hear = async (kind: 'steady-tone' | 'air-burst', at: number, ago: number): Promise<void> => {
      bench.ear.level({ level: -30, floor: -50, snr: 20, clipped: false, cabSounds: [{ kind, ago }] }, at);
      await bench.settle();
    };
    await hear('steady-tone', 6000, 400);
    await hear('steady-tone', 7500, 0);
    await hear('air-burst', 7500, 0);
    await hear('steady-tone', 7600, 0);
    const marks = bench.stored.slice(1).map((event) => [event.type, event.at, 'kind' in event ? event.kind : '']);
    expect(marks).toEqual([
      ['sound', 5600, 'steady-tone'],
      ['sound', 7500, 'air-burst'],
      ['sound', 7600, 'steady-tone'],
    ]);
  });

  it('no more once the record refuses it, which is said beside the other notices, and the check goes on', async () => {
    const bench = await opened();
    bench.notices.push('The disk is nearly full.');
    bench.full = true;
    await bench.say('chocks set');
    expect(bench.live.live.notices).toEqual([
      'The disk is nearly full.',
      expect.stringMatching(/The record of this check ends here.*another tab writes it/),
    ]);
    expect(bench.live.state?.progress.cues).toEqual(['chocks-set']);
  });
});

describe('a live check that loses its ear', () => {
  it('measures again what was timed, by the reason, and says once that hearing is back', async () => {
    const bench = await holding();
    bench.ear.state('unavailable', 'The microphone was unplugged.', 'microphone-lost');
    await bench.settle();
    expect(bench.kept.at(-1)).toBe('interrupted: microphone-lost');
    expect(bench.live.state?.progress.repeatBecause).toBe('microphone-lost');
    expect(bench.live.live).toMatchObject({ ear: 'unavailable', earLine: 'The microphone was unplugged.' });
    for (const state of ['starting', 'listening', 'listening'] as const) bench.ear.state(state, '');
    await bench.settle();
    expect(bench.kept.filter((type) => type === 'resumed')).toHaveLength(1);
  });

  it('goes on by the steady clock meanwhile: the call for the needles comes all the same', async () => {
    const bench = await holding();
    bench.ear.state('unavailable', 'Hearing keeps stopping.', 'engine-lost');
    bench.live.act({ do: 'reading', reading: needles(119, 119), correction: false, took: 0 }, 'touch');
    await bench.settle();
    await bench.pass(60_000);
    expect(bench.spoken.at(-1)?.type).toBe('call-needles');
  });

  it('is interrupted by lost sound, without an end and a return of hearing', async () => {
    const bench = await holding();
    bench.ear.state('listening', '', 'sound-lost');
    bench.ear.state('listening', '');
    await bench.settle();
    expect(bench.kept.slice(-1)).toEqual(['interrupted: sound-lost']);
  });

  it('is not interrupted by an engine that was replaced', async () => {
    const bench = await holding();
    bench.ear.restarted?.('vosk');
    await bench.settle();
    expect(bench.stored.at(-1)).toMatchObject({ type: 'engine-restarted', engine: 'vosk' });
    expect(bench.live.state?.phase).toBe('holding');
  });

  it('is interrupted when the time of day has run ahead: the device may have slept', async () => {
    const bench = await holding();
    await bench.pass(100);
    bench.dayAhead += 60_000;
    await bench.pass(100);
    expect(bench.kept.at(-1)).toBe('interrupted: slept');
  });

  it('asks for the microphone again when it is told to', async () => {
    const bench = await opened();
    bench.live.act({ do: 'microphone' }, 'touch');
    expect(bench.asked).toEqual(['retry']);
  });
});

describe('a live check that was cut off', () => {
  const cut = new Walk(HOLD).sayAll('engine-off', 'brakes-released', 'settled', needles(120, 120));
  const before = cut.events;

  it('goes on at the time where it stopped, says that it was interrupted, and repeats the hold', async () => {
    const bench = await new BenchOfCheck(HOLD, before).open();
    const stopped = cut.time * 1000;
    expect(bench.stored).toMatchObject([
      { type: 'interrupted', at: stopped, why: 'page-closed' },
      { type: 'resumed', at: stopped, wall: '2026-05-04T07:30:00.000Z' },
    ]);
    expect(bench.live.state?.progress.repeatBecause).toBe('page-closed');
    expect(bench.live.now()).toBe(stopped);
  });

  it('cannot go on from a log without its start', () => {
    const log: CheckEvent[] = [{ type: 'time', at: 0 }];
    expect(LiveCheck.resume({} as LiveParts, log)).toBeUndefined();
  });
});

describe('the end of a live check', () => {
  it('closes the record with the verdict and lets go of the ear, once, though something is called after it', async () => {
    const bench = await opened(startOf({ plan: only('tug-test') }));
    const { live } = bench;
    for (const cue of ['engine-started', 'parking-brake-set', 'chocks-stowed', 'belts-on', 'in-drive', 'rig-held'])
      live.act({ do: 'cue', cue }, 'touch');
    await bench.settle();
    expect(bench.closed).toMatchObject([{ id: 'check-1', state: 'finished', verdict: 'pass' }]);
    expect(bench.asked).toEqual(['close']);
    expect(bench.isTicking).toBe(false);
    live.act({ do: 'cue', cue: 'rig-moved' }, 'touch');
    await bench.settle();
    expect(live.model?.finished?.verdict).toBe('fail');
    expect(bench.asked).toEqual(['close']);
  });

  it('comes with the end of a recording', async () => {
    const bench = await opened();
    bench.ear.end();
    await bench.settle();
    expect(bench.closed).toMatchObject([{ verdict: 'incomplete' }]);
  });

  it('is silent after it was left: nothing is said, pressed or ticked any more', async () => {
    const bench = await opened();
    await bench.live.close();
    expect(bench.asked).toEqual(['silence', 'close']);
    expect(bench.isTicking).toBe(false);
    expect(bench.speech.onSpeaking).toBeUndefined();
    const { length } = bench.spoken;
    bench.live.act({ do: 'cue', cue: 'chocks-set' }, 'touch');
    bench.live.say([{ type: 'paused' }]);
    await bench.settle();
    expect(bench.kept).toEqual([]);
    expect(bench.spoken).toHaveLength(length);
  });
});

describe('what the screen shows of a live check', () => {
  it('what was said last, and not what has no words', async () => {
    const bench = await opened();
    expect(bench.live.live.spoken).toEqual(['brief']);
    await bench.say('chocks set');
    expect(bench.spoken.at(-1)?.type).toBe('noted');
    expect(bench.live.live.spoken).toEqual(['brief']);
  });

  it('needles that are asked about as heard, and words that mean nothing here as not part of the step', async () => {
    const bench = await opened(startOf({ plan: only('pre-start-fill') }));
    await bench.say('primary seventy five', { confidence: 0.1 });
    expect(bench.live.live.heard).toMatchObject({ taken: 'asked back', used: true });
    await bench.say('lovely weather');
    expect(bench.live.live.heard).toMatchObject({ taken: 'not part of this step', used: false });
  });

  it('the settings as they are now', async () => {
    let settings = DEFAULT_SETTINGS;
    const bench = await opened(START, { settings: () => settings });
    expect(bench.live.live).toMatchObject({ pushToTalk: false, keys: true });
    settings = { ...settings, pushToTalk: true, keys: false };
    await bench.say('chocks set');
    expect(bench.live.live).toMatchObject({ pushToTalk: true, keys: false });
  });

  it('what became of a callout in a rehearsal, where the check heard nothing of it', async () => {
    const caption = { words: 'valve out', taken: 'the hands', used: true };
    const bench = await opened(START, { takes: () => ({ events: [], caption }) });
    await bench.say('chocks set');
    expect(bench.kept).toEqual([]);
    expect(bench.live.live.heard).toEqual(caption);
  });
});

describe('a live check by voice', () => {
  it('listens all the time or only while pressed, as it is told in so many words', async () => {
    const told: boolean[] = [];
    const bench = await opened(START, { listen: (pushToTalk) => told.push(pushToTalk) });
    await bench.say('push to talk');
    await bench.say('open listening');
    expect(told).toEqual([true, false]);
    expect(bench.spoken.slice(-2)).toEqual([
      { type: 'listens', how: 'when-pressed' },
      { type: 'listens', how: 'openly' },
    ]);
    // Nothing else has come of it.
    expect(bench.live.state?.progress.cues).toEqual([]);
  });

  it('says in a line each that it is not heard and that the microphone hears nobody, and goes on', async () => {
    const bench = await opened();
    bench.speech.onTrouble?.('The tool cannot be heard.');
    for (let at = 0; at <= 21_000; at += 1000)
      bench.ear.level({ level: -100, floor: -100, snr: 0, clipped: false }, at);
    expect(bench.live.live.notices).toEqual([
      'The tool cannot be heard.',
      expect.stringContaining('nothing but silence'),
    ]);
    bench.speech.onTrouble?.(undefined);
    bench.ear.level({ level: -60, floor: -60, snr: 0, clipped: false }, 22_000);
    expect(bench.live.live.notices).toEqual([]);
    await bench.say('chocks set');
    expect(bench.live.state?.progress.cues).toEqual(['chocks-set']);
  });

  it('asks whose words those were that turn the engine off while nobody waits for it, on the screen too', async () => {
    const bench = await opened({ ...START, settings: { asksWhose: true } });
    await bench.say('engine started');
    await bench.say('engine off');
    expect(bench.spoken.at(-1)).toEqual({ type: 'whose', cue: 'engine-off' });
    expect(bench.live.model?.question).toEqual({ kind: 'whose', words: 'engine off' });
    expect(bench.live.live.heard).toMatchObject({ words: 'engine off', taken: 'asked back' });
    // Begun before it could be asked, it was said to somebody else.
    await bench.say('no');
    expect(bench.live.model?.question).toEqual({ kind: 'whose', words: 'engine off' });
    await bench.pass(3_000);
    await bench.say('no');
    expect(bench.live.model?.question).toBeUndefined();
    expect(bench.live.state?.cab.engine?.is).toBe('running');
  });

  it('takes no yes for an answer that was begun before its question could be heard', async () => {
    const bench = await opened(startOf({ plan: only('pre-start-fill') }));
    await bench.say('primary one one eight secondary one one seven', { confidence: 0.5 });
    expect(bench.live.state?.phase).toBe('asking');
    bench.speech.onSpeaking?.({ phrases: ['level ground'], inMs: 0 });
    await bench.pass(2_000);
    await bench.say('yes');
    expect(bench.live.state?.phase).toBe('asking');
    expect(bench.live.live.heard).toMatchObject({ words: 'yes', used: false });
    bench.speech.onSpeaking?.({ phrases: ['primary'], inMs: 0, asks: true });
    await bench.say('yes');
    expect(bench.live.state?.phase).toBe('asking');
    await bench.pass(3_000);
    bench.speech.onSpeaking?.(undefined);
    await bench.say('yes');
    expect(bench.live.state?.phase).not.toBe('asking');
  });
});

describe('an examination', () => {
  const exam = { ...START, asking: 'assume' as const, settings: { examination: true as const } };

  it('is silent: no word, no tone, no caption; it listens, times and keeps what the examiner puts down', async () => {
    const bench = await opened(exam);
    await bench.say('chocks set');
    bench.live.act({ do: 'examiner', put: { text: 'pointed at the wrong gauge' } }, 'touch');
    bench.live.act({ do: 'examiner', put: { limit: { part: 'cut-out', stated: true } } }, 'touch');
    bench.live.act({ do: 'command', command: 'say-again' }, 'touch');
    await bench.pass(60_000);
    await bench.settle();
    expect(bench.live.state?.progress.cues).toEqual(['chocks-set']);
    expect(bench.spoken).toEqual([]);
    expect(bench.live.live.spoken).toEqual([]);
    expect(bench.asked.filter((each) => each !== 'own silence')).toEqual([]);
    expect(bench.live.live.examiner).toMatchObject([
      { text: 'pointed at the wrong gauge' },
      { limit: { stated: true } },
    ]);
    const again = await new BenchOfCheck(exam, bench.stored).open();
    expect(again.live.live.examiner).toHaveLength(2);
    expect(again.spoken).toEqual([]);
  });

  it('asks nothing: what would be asked about is taken and said to be unconfirmed', async () => {
    const bench = await opened({ ...HOLD, asking: 'assume', settings: { examination: true } });
    bench.live.act({ do: 'reading', reading: needles(20, 20), correction: false, took: 0 }, 'touch');
    await bench.settle();
    expect(bench.spoken).toEqual([]);
    expect(bench.live.state?.verdict).toBeUndefined();
  });
});
