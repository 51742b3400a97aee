import { readdirSync, readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { createAir, run } from '../../src/airsystem/air.ts';
import { airMass, gauges } from '../../src/airsystem/gauges.ts';
import { DEMO_RIGS } from '../../src/airsystem/rig.ts';
import type { Scenario } from '../../src/airsystem/scenario.ts';
import { faultsFor, readScenario } from '../../src/airsystem/scenario.ts';
import { outside, scriptedCheck } from '../unit/airsystem/scripted-check.ts';

const FOLDER = new URL('../../src/airsystem/scenarios/', import.meta.url);

function open(file: string): Scenario {
  const read = readScenario(JSON.parse(readFileSync(new URL(file, FOLDER), 'utf8')), file);
  if (!read.ok) throw new Error(read.problem.what);
  return read.value;
}

const healthy = (rig: keyof typeof DEMO_RIGS): Scenario => ({
  ...open('engine-31-healthy.json'),
  id: rig,
  rig: DEMO_RIGS[rig],
});

/**
 * What each fault alone must put outside the fire service's practice (limits and their source: `outside`). A leak that is always there
 * is a leak in both holds. A needle that lags is still on its way during the static hold, so the hold cannot be judged.
 */
const EXPECTED: Record<string, string[]> = {
  'engine-31-healthy': [],
  'tender-34-slow': ['build-up'],
  'ladder-36-leaking': ['static leakage', 'applied leakage'],
  'fault-leak-released': ['static leakage'],
  'fault-leak-applied': ['applied leakage'],
  'fault-leak-always': ['static leakage', 'applied leakage'],
  'fault-worn-compressor': ['build-up'],
  'fault-governor-high': ['governor cut-out'],
  'fault-governor-low': ['governor cut-in'],
  'fault-governor-differential': ['governor differential'],
  'fault-low-air-dead': ['low-air warning'],
  'fault-low-air-late': ['low-air warning'],
  'fault-parking-valve-sticks': ['spring brake activation'],
  'fault-gauge-lags': ['static leakage'],
  'fault-gauge-reads-high': ['governor cut-out'],
  'fault-weak-hold': ['tug test'],
  'tender-34': [],
  'ladder-36': [],
};
const scenarios = [
  ...readdirSync(FOLDER)
    .map(open)
    // Those with a slip are about the trainee, not the rig.
    .filter(({ hidden, slip }) => hidden === undefined && slip === undefined),
  healthy('tender-34'),
  healthy('ladder-36'),
];

describe.each(scenarios)('the full cab check of $id', { timeout: 600_000 }, (scenario) => {
  it('keeps its air, warns before the spring brakes, and is outside common practice exactly where it should be', () => {
    const check = scriptedCheck(scenario);

    expect(outside(check.measured)).toEqual(EXPECTED[scenario.id]);

    const { initial, drawnIn, vented, stored } = airMass(check.end);
    expect(drawnIn).toBeGreaterThan(0);
    expect(Math.abs(initial + drawnIn - vented - stored)).toBeLessThan(1e-9 * (initial + drawnIn));

    // Order rule: Western Australia, Road Traffic (Vehicles) Regulations 2014 r. 334.
    const first = (kind: string) => check.events.find((event) => event.kind === kind)?.at;
    const dead = scenario.faults.some((fault) => fault.kind === 'dead-low-air-switch');
    if (dead) expect(first('buzzer-on')).toBeUndefined();
    else expect(first('buzzer-on')).toBeLessThan(first('valve-popped')!);
  });
});

describe('a halved step', { timeout: 600_000 }, () => {
  it.each(['engine-31-healthy', 'ladder-36-leaking'])(
    'shows no needle 0.1 psi elsewhere at any moment of the full cab check of %s',
    (id) => {
      const scenario = scenarios.find((one) => one.id === id)!;
      let whole = createAir(scenario.rig, faultsFor(scenario), scenario.startPsi);
      let half = whole;
      let worst = 0;
      for (const { controls, until } of scriptedCheck(scenario).stretches) {
        whole = run(whole, controls, until, 10);
        half = run(half, controls, until, 5);
        for (const circuit of ['primary', 'secondary'] as const) {
          worst = Math.max(worst, Math.abs(gauges(whole)[circuit] - gauges(half)[circuit]));
        }
      }
      expect(whole.at).toBeGreaterThan(10 * 60_000);
      expect(worst).toBeLessThan(0.1);
    },
  );
});
