import { SCENARIOS, type Scenario } from '../../rehearsal/synthetic-operator-script.ts';
import { bad, good, type Outcome } from '../../units/outcome.ts';
import { readOptions } from '../shared/read-options.ts';
import { OPERATOR_VOICES, QUIET_CAB, type OperatorVoice } from './operator-recording.ts';

const PACES = ['live', 'terse', 'silent'] as const;

/** What `operator` was asked to do. */
export interface OperatorArguments {
  readonly out: string;
  readonly scenario: Scenario;
  readonly voice: OperatorVoice;
  readonly pace: (typeof PACES)[number];
  /** Of each hold, in s. */
  readonly hold: number;
  readonly floorDb: number;
  /** A diesel so many dB below the speech; none when absent. */
  readonly diesel?: number;
}

const SCENARIO_IDS = SCENARIOS.map(({ id }) => id).join(', ');

export const OPERATOR_USAGE = `usage: npm run -s operator -- --out DIR [--scenario ID] [--voice NAME] [--hold SECONDS] [--diesel SNR_DB] [--floor DBFS]
       [--pace live|terse|silent]

Writes a synthetic operator's full cab check, paced for a live check that answers aloud (in full or terse) or is silent: SCENARIO.wav, .vtt, .truth.json,
.rig.json, and the plan and profile with these holds (plan.json, profile.json).
scenarios: ${SCENARIO_IDS}    voices: ${OPERATOR_VOICES.join(', ')}`;

export function readOperatorArguments(argv: readonly string[]): Outcome<OperatorArguments | 'help'> {
  const read = readOptions(argv, {
    out: { type: 'string' },
    scenario: { type: 'string', default: 'engine-31' },
    voice: { type: 'string', default: 'rms' },
    hold: { type: 'string', default: '60' },
    diesel: { type: 'string' },
    pace: { type: 'string', default: 'live' },
    floor: { type: 'string', default: String(QUIET_CAB.floorDb) },
  });
  if (!read.ok) return read;
  const { values, positionals } = read.value;
  if (values.help) return good('help');
  const [extra] = positionals;
  if (extra !== undefined)
    return bad(`there is only what the options say, but “${extra}” came too.`, undefined, 'Try --help.');
  const { out } = values;
  if (out === undefined || out === '') return bad('no folder was named.', '--out', 'Add --out DIR.');
  const scenario = SCENARIOS.find(({ id }) => id === values.scenario);
  if (scenario === undefined)
    return bad(`there is no scenario “${values.scenario}”.`, '--scenario', `The scenarios are ${SCENARIO_IDS}.`);
  const voice = OPERATOR_VOICES.find((each) => each === values.voice);
  if (voice === undefined)
    return bad(`there is no voice “${values.voice}”.`, '--voice', `The voices are ${OPERATOR_VOICES.join(', ')}.`);
  const pace = PACES.find((each) => each === values.pace);
  if (pace === undefined)
    return bad(`there is no pace “${values.pace}”.`, '--pace', `The paces are ${PACES.join(', ')}.`);
  const hold = numberWithin(values.hold, '--hold', 1, 900);
  if (!hold.ok) return hold;
  const floor = numberWithin(values.floor, '--floor', -120, 0);
  if (!floor.ok) return floor;
  const diesel = values.diesel === undefined ? good(undefined) : numberWithin(values.diesel, '--diesel', -60, 120);
  if (!diesel.ok) return diesel;
  return good({
    out,
    scenario,
    voice,
    pace,
    hold: hold.value,
    floorDb: floor.value,
    ...(diesel.value === undefined ? {} : { diesel: diesel.value }),
  });
}

function numberWithin(text: string, option: string, min: number, max: number): Outcome<number> {
  const value = Number(text);
  if (text.trim() !== '' && value >= min && value <= max) return good(value);
  return bad(`“${text}” is no number from ${min} to ${max}.`, option, 'Try --help.');
}
