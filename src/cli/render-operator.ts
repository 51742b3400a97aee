import { join } from 'node:path';
import { parseArgs } from 'node:util';
import type { StartEvent } from '../check/event.ts';
import { fullCabCheckScript, SCENARIOS } from '../rehearsal/synthetic-operator-script.ts';
import { SAMPLE_RATE } from '../units/time.ts';
import { BRISK_AFTER_HOLD, BRISK_PACE, writeRecording } from './assets-demo.ts';
import { cachedFlite } from './cached-flite.ts';
import { LIVE_AFTER_HOLD, livePace } from '../running/live-pace.ts';
import { OPERATOR_VOICES, QUIET_CAB, recordOperator } from './operator-recording.ts';
import { loadGrammar, loadPlan, loadProfile } from './read-inputs.ts';
import { withHolds } from '../rehearsal/short-holds.ts';
import { writeIfChanged } from './write-file.ts';

const USAGE = `usage: npm run -s operator -- --out DIR [--scenario ID] [--voice NAME] [--hold SECONDS] [--diesel SNR_DB] [--floor DBFS]
       [--pace live|terse|silent]

Writes a synthetic operator's full cab check, paced for a live check that answers aloud (in full or terse) or is silent: SCENARIO.wav, .vtt, .truth.json,
.rig.json, and the plan and profile with these holds (plan.json, profile.json).
scenarios: ${SCENARIOS.map((scenario) => scenario.id).join(', ')}    voices: ${OPERATOR_VOICES.join(', ')}`;

async function main(): Promise<number> {
  const { values } = parseArgs({
    options: {
      out: { type: 'string' },
      scenario: { type: 'string', default: 'engine-31' },
      voice: { type: 'string', default: 'rms' },
      hold: { type: 'string', default: '60' },
      diesel: { type: 'string' },
      pace: { type: 'string', default: 'live' },
      floor: { type: 'string', default: String(QUIET_CAB.floorDb) },
    },
  });
  const scenario = SCENARIOS.find((each) => each.id === values.scenario);
  const voice = OPERATOR_VOICES.find((each) => each === values.voice);
  const pace = (['live', 'terse', 'silent'] as const).find((each) => each === values.pace);
  const numbers = [values.hold, values.floor, values.diesel ?? '0'].map(Number);
  const [hold = 60, floorDb = -55, diesel = 0] = numbers;
  if (
    values.out === undefined ||
    scenario === undefined ||
    voice === undefined ||
    pace === undefined ||
    numbers.some(Number.isNaN)
  ) {
    console.error(USAGE);
    return 2;
  }
  const grammar = await loadGrammar();
  if (!grammar.ok) throw new Error(grammar.problem.what);
  const plan = await loadPlan('full-cab-check', grammar.value);
  const profile = await loadProfile('fire-practice');
  if (!plan.ok || !profile.ok) throw new Error('the built-in plan or profile cannot be read');
  const trial = withHolds(plan.value, profile.value, hold);
  const start: StartEvent = {
    type: 'start',
    at: 0,
    wall: new Date(0).toISOString(),
    ...trial,
    rig: scenario.rig,
    operator: 'synthetic',
    asking: 'ask',
  };
  const recording = await recordOperator(
    fullCabCheckScript(scenario, {
      holdSeconds: hold,
      afterHold: pace === 'silent' ? BRISK_AFTER_HOLD : LIVE_AFTER_HOLD,
    }),
    {
      voice,
      pace: pace === 'silent' ? BRISK_PACE : livePace(start, grammar.value, pace === 'terse'),
      noise: { ...QUIET_CAB, floorDb, ...(values.diesel === undefined ? {} : { dieselSnrDb: diesel }) },
      tail: 3000,
    },
    cachedFlite(),
  );
  await writeRecording(values.out, scenario, voice, recording);
  await writeIfChanged(join(values.out, 'plan.json'), `${JSON.stringify(trial.plan, null, 1)}\n`);
  await writeIfChanged(join(values.out, 'profile.json'), `${JSON.stringify(trial.profile, null, 1)}\n`);
  console.log(`${values.out}: ${scenario.id}, ${Math.round(recording.samples.length / SAMPLE_RATE)} s`);
  return 0;
}

process.exitCode = await main();
