import { expect, it } from 'vitest';
import type { Answer } from '../../../src/check/answer.ts';
import type { LevelId } from '../../../src/rehearsal/level.ts';
import type { EarEvents } from '../../../src/running/ear.ts';
import { languageOf } from '../../../src/running/language.ts';
import { LiveRehearsal } from '../../../src/running/live-rehearsal.ts';
import type { Speech } from '../../../src/running/live-check.ts';
import { DEFAULT_SETTINGS } from '../../../src/running/settings.ts';
import { loadGrammar } from '../../support/grammar.ts';
import { SILENT_SPEECH } from '../../support/silent-speech.ts';
import { scenario, setupOf } from '../rehearsal/support/rehearse.ts';

const LANGUAGE = languageOf(loadGrammar());
const HEALTHY = scenario('engine-31-healthy');

/** A rehearsal whose cues move the controls, and what it says. */
async function opened(level: LevelId) {
  const spoken: Answer[] = [];
  const speech: Speech = { ...SILENT_SPEECH, speak: (answers) => spoken.push(...answers) };
  let steady = 0;
  let ear: EarEvents | undefined;
  const live = new LiveRehearsal(
    {
      ear: {
        open: (events) => {
          ear = events;
          return Promise.resolve();
        },
        retry: () => Promise.resolve(),
        listenFor: () => undefined,
        talk: () => undefined,
        close: () => Promise.resolve(),
      },
      speech,
      language: LANGUAGE,
      settings: () => DEFAULT_SETTINGS,
      onChange: () => undefined,
      steady: () => steady,
      wall: () => '2026-05-04T07:30:00Z',
      every: () => () => undefined,
    },
    setupOf(HEALTHY, { level }),
    true,
  );
  await live.open();
  const say = async (text: string): Promise<void> => {
    steady += 3_000;
    await ear?.heard({
      ...{ engine: 'vosk', words: [], text, start: steady - 1_000, end: steady, confidence: 0.95 },
      ...{ rejected: false, clip: new Float32Array(0) },
    });
    await new Promise((done) => setImmediate(done));
  };
  return { live, say, spoken, speech, isRunning: () => live.inCab.value.hands.controls.engine };
}

it.each(['told', 'prompted'] as const)(
  'asks at the level %s whose words those were that nobody had cause for, and moves nothing by them until it is known',
  async (level) => {
    for (const [answer, runs] of [
      ['no', true],
      ['yes', false],
      // Words that are no answer: they count, and so do the hands.
      ['mirrors set', false],
    ] as const) {
      const { say, spoken, isRunning, live } = await opened(level);
      await say('engine started');
      expect(isRunning()).toBe(true);
      await say('engine off');
      expect(spoken.at(-1)).toEqual({ type: 'whose', cue: 'engine-off' });
      expect(live.model?.question).toEqual({ kind: 'whose', words: 'engine off' });
      expect(isRunning()).toBe(true);
      await say(answer);
      expect(isRunning(), answer).toBe(runs);
      expect(live.state?.cab.engine?.is).toBe(runs ? 'running' : 'off');
    }
  },
);

it('asks nothing before a silent examiner, who takes what is said', async () => {
  const { say, spoken, isRunning } = await opened('silent');
  await say('engine started');
  await say('engine off');
  expect(isRunning()).toBe(false);
  expect(spoken).toEqual([]);
});

it('shows what is wrong with the voice in a line', async () => {
  const { live, speech } = await opened('told');
  speech.onTrouble?.('The tool cannot be heard.');
  expect(live.live.notices).toEqual(['The tool cannot be heard.']);
});
