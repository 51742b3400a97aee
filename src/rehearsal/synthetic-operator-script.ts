import type { RigSettings } from '../judging/result.ts';
import type { Ms } from '../units/time.ts';
import { spokenNumber, type NumberForm } from './synthetic-operator-numbers.ts';
import type { ScriptLine } from './synthetic-operator.ts';

/** Primary and secondary needle, in psi. */
export type Needles = readonly [primary: number, secondary: number];

/** What the gauges show and what is felt in one full cab check: all that the script of the operator depends on. */
export interface Scenario {
  readonly id: string;
  readonly rig: RigSettings;
  readonly preStartFill: Needles;
  readonly cutOut: Needles;
  readonly cutIn: Needles;
  readonly refill: Needles;
  readonly staticHold: readonly [before: Needles, after: Needles];
  readonly appliedHold: readonly [before: Needles, after: Needles];
  readonly warning: Needles;
  readonly activation: Needles;
  /** Seconds from both needles at 85 to both at 100. */
  readonly buildUpSeconds: number;
  readonly finalFill: Needles;
  /** Only on rigs with a hand valve. */
  readonly handValve?: 'held' | 'moved';
  /** Steps whose needles are outside a limit, so that the tool asks: the operator answers yes. */
  readonly confirms: readonly string[];
  /** Number forms, taken in turn from reading to reading. */
  readonly forms: readonly NumberForm[];
  /** A slip of the tongue in the governor cut-in step and its correction. */
  readonly slip?: { readonly said: Needles };
}

/** Delays of the operator that depend on how the tool is used. */
export interface Reactions {
  /** Length of both holds, in seconds: as the plan under check says. */
  readonly holdSeconds: number;
  /** From the end of a hold to the onset of the needles, in ms: time for the tool to call for them. Below 15 s. */
  readonly afterHold: Ms;
}

/** Everything inside its limits. */
export const ENGINE_31: Scenario = {
  id: 'engine-31',
  rig: { id: 'engine-31', name: 'Engine 31', unit: 'psi', fitted: { handValve: false, fastIdle: true } },
  preStartFill: [75, 74],
  cutOut: [124, 123],
  cutIn: [98, 97],
  refill: [125, 124],
  staticHold: [
    [118, 117],
    [117, 116],
  ],
  appliedHold: [
    [107, 106],
    [106, 104],
  ],
  warning: [66, 68],
  activation: [37, 38],
  buildUpSeconds: 31,
  finalFill: [125, 125],
  confirms: [],
  forms: ['digits', 'cardinal', 'oh-digits', 'hundred-less', 'cardinal-and'],
};

/** A leak in the secondary circuit that shows only with the brake applied. */
export const LADDER_36: Scenario = {
  id: 'ladder-36',
  rig: { id: 'ladder-36', name: 'Ladder 36', unit: 'psi', fitted: { handValve: false, fastIdle: true } },
  preStartFill: [74, 75],
  cutOut: [121, 122],
  cutIn: [95, 94],
  refill: [122, 122],
  staticHold: [
    [116, 115],
    [115, 114],
  ],
  appliedHold: [
    [105, 106],
    [104, 96],
  ],
  warning: [67, 65],
  activation: [39, 38],
  buildUpSeconds: 36,
  finalFill: [122, 121],
  confirms: ['applied-leakage'],
  forms: ['oh-digits', 'digits', 'cardinal'],
  slip: { said: [95, 91] },
};

/** A slow compressor and a hand valve; everything still inside its limits. */
export const TENDER_34: Scenario = {
  id: 'tender-34',
  rig: { id: 'tender-34', name: 'Tender 34', unit: 'psi', fitted: { handValve: true, fastIdle: true } },
  preStartFill: [78, 77],
  cutOut: [126, 126],
  cutIn: [102, 101],
  refill: [126, 125],
  staticHold: [
    [119, 118],
    [118, 118],
  ],
  appliedHold: [
    [109, 108],
    [108, 106],
  ],
  warning: [64, 63],
  activation: [33, 35],
  buildUpSeconds: 41,
  finalFill: [126, 126],
  handValve: 'held',
  confirms: [],
  forms: ['cardinal', 'hundred-less', 'digits'],
};

export const SCENARIOS: readonly Scenario[] = [ENGINE_31, LADDER_36, TENDER_34];

/** What the operator of a scenario says in the plan *full cab check*, from the first cue to the last. */
export function fullCabCheckScript(scenario: Scenario, reactions: Reactions): ScriptLine[] {
  let turn = 0;
  const needles = ([primary, secondary]: Needles): string => {
    const form = scenario.forms[turn % scenario.forms.length] ?? 'digits';
    turn += 1;
    if (primary === secondary) return `both ${spokenNumber(primary, form)}`;
    const first = `primary ${spokenNumber(primary, form)}`;
    const second = `secondary ${spokenNumber(secondary, form)}`;
    // Every fourth reading the other way about.
    return turn % 4 === 0 ? `${second}, ${first}` : `${first}, ${second}`;
  };
  const script: ScriptLine[] = [];
  const say = (step: string, text: string, more: Omit<ScriptLine, 'step' | 'text'> = {}): void => {
    script.push({ step, text, ...more });
  };
  const hold = (step: string, [before, after]: readonly [Needles, Needles]): void => {
    say(step, needles(before), { mark: `${step} before` });
    say(step, needles(after), {
      mark: `${step} after`,
      notBefore: { mark: `${step} before`, edge: 'end', ms: reactions.holdSeconds * 1000 + reactions.afterHold },
    });
    if (scenario.confirms.includes(step)) say(step, "yes that's right");
  };

  for (const cue of ['chocks set', 'walk round complete', 'mirrors set', 'ignition on']) say('approach', cue);

  say('pre-start-fill', needles(scenario.preStartFill));
  say('pre-start-fill', 'engine started');

  say('governor-cut-out', `governor cut out, ${needles(scenario.cutOut)}`);

  say('governor-cut-in', 'needles rising');
  if (scenario.slip !== undefined) {
    say('governor-cut-in', needles(scenario.slip.said));
    say('governor-cut-in', `correction, ${needles(scenario.cutIn)}`);
  } else say('governor-cut-in', needles(scenario.cutIn));

  say('refill', 'governor cut out');
  say('refill', needles(scenario.refill));

  for (const cue of ['engine off', 'brakes released', 'settled']) say('static-leakage', cue);
  hold('static-leakage', scenario.staticHold);

  for (const cue of ['brake applied', 'settled']) say('applied-leakage', cue);
  hold('applied-leakage', scenario.appliedHold);

  say('low-air-warning', 'buzzer');
  say('low-air-warning', needles(scenario.warning));

  say('spring-brake-activation', 'valve popped');
  say('spring-brake-activation', needles(scenario.activation));

  say('build-up', 'engine started');
  say('build-up', 'fast idle set');
  say('build-up', `both at ${spokenNumber(85, 'cardinal')}`, { mark: 'build-up lower' });
  say('build-up', `both at ${spokenNumber(100, 'cardinal')}`, {
    mark: 'build-up upper',
    notBefore: { mark: 'build-up lower', edge: 'onset', ms: scenario.buildUpSeconds * 1000 },
  });

  say('final-fill', 'governor cut out');
  say('final-fill', needles(scenario.finalFill));
  say('final-fill', 'fast idle off');

  for (const cue of ['chocks stowed', 'belts on', 'in drive', 'brakes held']) say('tug-test', cue);

  if (scenario.handValve !== undefined) {
    say('hand-valve-test', 'brakes released');
    say('hand-valve-test', `hand valve ${scenario.handValve}`);
  }

  say('service-brake-test', 'straight stop');
  say('service-brake-test', 'check complete');
  return script;
}
