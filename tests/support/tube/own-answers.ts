import { embeddedSpeaker } from '../../../src/answering/embedded-speaker.ts';
import { TOOL_VOICE } from '../../../src/answering/flite.ts';
import { SWEEP } from '../../../src/answering/tones.ts';
import { createVoice } from '../../../src/answering/voice.ts';
import { textOf, word, wordCaution } from '../../../src/answering/wording.ts';
import type { Answer } from '../../../src/check/answer.ts';
import type { StepResult } from '../../../src/judging/result.ts';
import type { Plan } from '../../../src/check/plan.ts';
import { createHearing } from '../../../src/hearing/hearing.ts';
import type { MicrophoneEvents } from '../../../src/hearing/microphone-port.ts';
import type { Whose } from '../../../src/hearing/own-voice/own-voice.ts';
import { languageOf } from '../../../src/running/language.ts';
import { microphoneEar } from '../../../src/running/microphone-ear.ts';
import { whoSaid } from '../../../src/running/own-words.ts';
import { SAMPLE_RATE, msToSamples, type Ms } from '../../../src/units/time.ts';
import type { CabNoise } from '../../../src/cli/operator/operator-sound.ts';
import { Busy } from './busy.ts';
import type { TubeHost } from './host.ts';
import { loudspeaker } from './loudspeaker.ts';
import { Room, type Echo } from './room.ts';
import { SampleClock } from './sample-clock.ts';
import { tubeWorker } from './tube-worker.ts';

/** What the tool heard while nobody but it spoke. */
export interface OwnAnswers {
  readonly answers: number;
  readonly seconds: number;
  /** Words that were heard, what the sound told of them, and what became of them. */
  readonly heard: readonly {
    readonly said: readonly string[];
    readonly words: string;
    readonly parts: Readonly<Record<Whose, number>> | undefined;
    readonly who: ReturnType<typeof whoSaid>;
  }[];
  /** How often it took itself for somebody who speaks. */
  readonly starts: number;
}

/** Between two answers, ms. */
const APART: Ms = 900;
const TAIL: Ms = 600;
const CHUNK = msToSamples(20);

/** Speaks these answers into a cab in which nobody else speaks, and hears them with our own ear. */
export async function hearOwn(
  host: TubeHost,
  phrases: readonly (readonly string[])[],
  { noise, echo, listen = true }: { readonly noise: CabNoise; readonly echo: Echo; readonly listen?: boolean },
): Promise<OwnAnswers> {
  const clock = new SampleClock();
  const room = new Room({ noise, echo });
  const busy = new Busy();
  const language = languageOf(host.grammar);
  const steady = (): Ms => (clock.now * 1000) / SAMPLE_RATE;
  let microphone: MicrophoneEvents | undefined;
  const heard: OwnAnswers['heard'][number][] = [];
  let starts = 0;
  const sounded: { text: string; from: Ms; to: Ms }[] = [];
  const ear = microphoneEar({
    microphone: (events) => {
      microphone = events;
      queueMicrotask(() => events.state('listening'));
      return { retry: () => Promise.resolve(), stop: () => (microphone = undefined) };
    },
    engines: () =>
      Promise.resolve(
        listen
          ? [
              {
                id: 'vosk',
                name: 'the Two Needles ear',
                hearing: (events) =>
                  createHearing(
                    {
                      spawn: () =>
                        tubeWorker((_model, restarted) => host.engine('own', () => undefined, restarted), busy),
                      model: '',
                      live: true,
                      patienceMs: 1e9,
                    },
                    events,
                  ),
              },
            ]
          : [],
      ),
    pushToTalk: () => false,
    steady,
  });
  await ear.open({
    heard: ({ text, start, end, clip }) => {
      if (text === '') return Promise.resolve();
      const said = sounded.flatMap((each) => (start < each.to + TAIL && end > each.from ? [each.text] : []));
      const parts = ear.whose?.(start, end, clip);
      heard.push({ said, words: text, parts, who: whoSaid(text, parts, said) });
      return Promise.resolve();
    },
    progress: () => Promise.resolve(),
    level: () => undefined,
    state: () => undefined,
    end: () => undefined,
    operator: (speaks) => (starts += speaks ? 1 : 0),
  });
  ear.listenFor(language.ruleset(['anything'], 'psi'));
  const voice = createVoice([
    embeddedSpeaker(
      busy.watching({
        loadPack: () => host.voicePack(),
        synthesise: (phrase: string) => host.speak(phrase, TOOL_VOICE),
      }),
      loudspeaker(room, clock),
    ),
  ]);
  voice.onSpeaking = (now) => {
    const last = sounded.at(-1);
    if (last?.to === Infinity) last.to = steady();
    if (now !== undefined) sounded.push({ text: textOf(now.phrases), from: steady(), to: Infinity });
    ear.ownVoice?.(now);
  };
  await busy.settled();
  const pass = async (): Promise<void> => {
    const from = clock.now;
    clock.advance(CHUNK);
    microphone?.sound(room.microphone(from, CHUNK), SAMPLE_RATE, steady() - 20);
    await busy.settled();
  };
  for (const each of [[SWEEP], ...phrases]) {
    const saying = { isOver: false };
    void voice.speak(each).then(() => (saying.isOver = true));
    while (!saying.isOver) await pass();
    if (each[0] === SWEEP) continue;
    for (const until = steady() + APART; steady() < until;) await pass();
  }
  await ear.close();
  await busy.settled();
  return { answers: phrases.length, seconds: steady() / 1000, heard, starts };
}

const PASSED: StepResult = { verdict: 'pass', reason: '', figures: {}, limits: [] };

/** So many answers of a check by this plan, the kinds as often as a check has them, drawn. */
export function drawnAnswers(plan: Plan, count: number, random: () => number): readonly (readonly string[])[] {
  const pick = <T>(of: readonly T[]): T => of[Math.floor(random() * of.length)] as T;
  const reading = (): Extract<Answer, { type: 'read-back' }>['reading'] => {
    const value = 40 + Math.floor(random() * 90);
    const psi = (v: number) => ({ value: v, unit: 'psi' }) as const;
    return { primary: psi(value), secondary: psi(random() < 0.4 ? value : value - 1 - Math.floor(3 * random())) };
  };
  const cues = plan.steps.flatMap((step) => step.cues);
  const make: readonly (() => Answer)[] = [
    () => ({ type: 'read-back', reading: reading(), corrected: false }),
    () => ({ type: 'read-back', reading: reading(), corrected: false }),
    () => ({ type: 'question', reading: reading(), because: 'would-fail' }),
    () => ({ type: 'brief', step: pick(plan.steps), caution: true }),
    () => ({ type: 'hold-started', seconds: 60 }),
    () => ({ type: 'still-needed', step: pick(plan.steps), cues: [pick(cues)], reading: false }),
    () => ({ type: 'missing-circuit', circuit: 'secondary' }),
    () => ({ type: 'ask-stop' }),
    () => ({ type: 'paused' }),
    () => ({ type: 'time-left', seconds: 5 + Math.floor(50 * random()), asked: true }),
    () => ({ type: 'verdict', step: pick(plan.steps), result: PASSED }),
    () => ({ type: 'sticks', held: 'rig-moved', said: 'rig-held' }),
    () => ({ type: 'finished', verdict: 'fail', stopped: false }),
  ];
  const drawn: (readonly string[])[] = [];
  while (drawn.length < count) {
    const answer = pick(make)();
    const phrases = [...wordCaution(answer), ...word(answer, random() < 0.75 ? 'short' : 'full')];
    if (phrases.length > 0) drawn.push(phrases);
  }
  return drawn;
}
