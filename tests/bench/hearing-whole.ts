import { mkdtemp, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { parseArgs } from 'node:util';
import fullCabCheck from '../../src/check/plans/full-cab-check.json' with { type: 'json' };
import firePractice from '../../src/judging/profiles/fire-practice.json' with { type: 'json' };
import { cachedFlite } from '../../src/cli/assets/cached-flite.ts';
import { BRISK_AFTER_HOLD, BRISK_PACE } from '../../src/cli/assets/assets-demo.ts';
import { recordOperator, type OperatorVoice } from '../../src/cli/operator/operator-recording.ts';
import type { StartEvent } from '../../src/check/event.ts';
import { listensFor } from '../../src/check/listens-for.ts';
import type { Plan } from '../../src/check/plan.ts';
import { view } from '../../src/check/view.ts';
import { parse } from '../../src/grammar/parse.ts';
import { samplesToMs } from '../../src/units/time.ts';
import type { Recogniser } from '../../src/hearing/port.ts';
import type { LimitProfile } from '../../src/judging/profile.ts';
import { ENGINE_31, fullCabCheckScript, LADDER_36 } from '../../src/rehearsal/synthetic-operator-script.ts';
import type { Said } from '../../src/running/callout-of.ts';
import { beginRun, endRun, passTime, take, type CheckRun } from '../../src/running/check-run.ts';
import { languageOf } from '../../src/running/language.ts';
import { recordingSource } from '../../src/running/recording-source.ts';
import { dieselIdle, over, rms } from '../unit/hearing/signals.ts';
import { openEngine } from './hearing-engines.ts';
import { grammar } from './hearing-sets.ts';

/**
 * Whole checks over the synthetic diesel idle, on the sample clock, by the ear as a check uses it: of the steps, how many have the
 * verdict that the words as said have, are unfinished (no verdict), or judged otherwise; of the callouts, how many were heard in
 * meaning. The noise is set against the speech alone, as everywhere in this bench.
 */
const { values: options } = parseArgs({
  options: {
    engine: { type: 'string', default: 'vosk' },
    /** `cut`: by the endpointer, then whole. */
    ear: { type: 'string', default: 'stream' },
    db: { type: 'string', default: 'quiet,20,10,5,0' },
    rig: { type: 'string', default: 'engine-31,ladder-36' },
    hold: { type: 'string', default: '60' },
  },
});
const VOICES: Readonly<Record<string, OperatorVoice>> = { 'engine-31': 'rms', 'ladder-36': 'awb' };

function startOf(rig: StartEvent['rig']): StartEvent {
  return {
    type: 'start',
    at: 0,
    wall: '2026-05-04T07:30:00Z',
    plan: fullCabCheck as unknown as Plan,
    profile: firePractice as unknown as LimitProfile,
    rig,
    operator: 'A. Okafor',
    asking: 'assume',
  };
}

const language = languageOf(grammar);
const engineId = options.engine === 'embedded' ? 'embedded' : 'vosk';

function taken(run: CheckRun, said: Said): CheckRun {
  return take(passTime(run, said.start), said, language);
}

/** The same engine, given whole utterances that the endpointer cut. */
function withoutStream(engine: Recogniser): Recogniser {
  return {
    id: engine.id,
    load: (onProgress) => engine.load(onProgress),
    setGrammar: (ruleset) => engine.setGrammar(ruleset),
    recognise: (sound, startSample) => engine.recognise(sound, startSample),
    close: () => engine.close(),
  };
}

const verdictsOf = (run: CheckRun): ReadonlyMap<string, string> =>
  new Map(view(run.state).results.map(({ id, result }) => [id, result.verdict]));

async function heardBy(engine: Recogniser, samples: Float32Array, start: StartEvent) {
  let run = beginRun(start);
  const texts: string[] = [];
  const lags: number[] = [];
  let now = 0;
  const end = await recordingSource({ samples, rate: 16_000 }, engine).play({
    listening: () => ({ grammar, rules: listensFor(run.state), unit: 'psi' }),
    take(said) {
      texts.push(said.text);
      lags.push(now - said.end);
      run = taken(run, { ...said, engine: engineId });
    },
    passOver: () => void texts.push('[other]'),
    pass(at) {
      now = at;
      run = passTime(run, at);
    },
  });
  return { run: endRun(run, end), texts, lags };
}

const meaningOf = (text: string): string =>
  JSON.stringify(parse(grammar, ['anything'], text.toLowerCase().replace(/[^a-z ]/g, ''), 'psi') ?? null);

const folder = await mkdtemp(join(tmpdir(), 'two-needles-bench-'));
const flite = cachedFlite(join(folder, 'flite'));
console.log(`Ear: ${options.engine}, ${options.ear}.`);
console.log(
  '| rig, voice | noise | steps as said | unfinished | judged otherwise | callouts heard | other | processor time / sound | told after, median, p95 |',
);
console.log('|---|---|---|---|---|---|---|---|---|');
for (const scenario of [ENGINE_31, LADDER_36].filter(({ id }) => options.rig.split(',').includes(id))) {
  const voice = VOICES[scenario.id] ?? 'rms';
  const script = fullCabCheckScript(scenario, { holdSeconds: Number(options.hold), afterHold: BRISK_AFTER_HOLD });
  const { samples, truth } = await recordOperator(
    script,
    { voice, pace: BRISK_PACE, noise: { floorDb: -55, seed: 31 }, tail: 2000 },
    flite,
  );
  const start = startOf(scenario.rig);
  const spoken = new Float32Array(truth.reduce((sum, { at, end }) => sum + Math.round((end - at) * 16), 0));
  let filled = 0;
  for (const { at, end } of truth) {
    const part = samples.subarray(Math.round(at * 16), Math.round(at * 16) + Math.round((end - at) * 16));
    spoken.set(part.subarray(0, spoken.length - filled), filled);
    filled += part.length;
  }
  let wanted = beginRun(start);
  for (const { at, end, text } of truth) {
    const words = text.toLowerCase().replace(/[^a-z ]/g, '');
    wanted = taken(wanted, { start: at, end, text: words, confidence: 1, source: 'voice', engine: engineId });
  }
  const right = verdictsOf(endRun(wanted, samplesToMs(samples.length)));
  for (const level of options.db.split(',')) {
    const noisy =
      level === 'quiet' ? samples : over(samples, dieselIdle(samples.length, 7), rms(spoken), Number(level));
    const open = await openEngine(options.engine === 'embedded' ? 'embedded' : 'vosk', {
      folder,
      model: undefined,
      rulesets: [],
    });
    if (typeof open === 'string') throw new Error(open);
    const engine = options.ear === 'cut' ? withoutStream(open.engine) : open.engine;
    const before = process.cpuUsage();
    const { run, texts, lags } = await heardBy(engine, noisy, start);
    const { user, system } = process.cpuUsage(before);
    const got = verdictsOf(run);
    const steps = [...right].map(([id, verdict]) => [verdict, got.get(id) ?? 'none'] as const);
    const same = steps.filter(([one, other]) => one === other).length;
    const open_ = steps.filter(([one, other]) => one !== other && (other === 'none' || other === 'not judged')).length;
    const left = texts.map(meaningOf);
    const heard = truth.filter(({ text }) => {
      const at = left.indexOf(meaningOf(text));
      if (at >= 0) left.splice(at, 1);
      return at >= 0;
    }).length;
    const sorted = [...lags].sort((a, b) => a - b);
    const lag = (share: number): string => (sorted[Math.floor(share * (sorted.length - 1))] ?? NaN).toFixed(0);
    console.log(
      `| ${scenario.id}, ${voice} | ${level} | ${same} of ${steps.length} | ${open_} | ${steps.length - same - open_} | ${heard} of ${truth.length} | ${texts.filter((text) => text === '[other]').length} | ${((user + system) / 1000 / samplesToMs(samples.length)).toFixed(2)} | ${lag(0.5)}, ${lag(0.95)} ms |`,
    );
    if (process.env['TELL'] !== undefined) console.log(texts.join(' / '));
  }
}
await rm(folder, { recursive: true });
