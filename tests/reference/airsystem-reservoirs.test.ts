import { describe, expect, it } from 'vitest';
import type { AirState } from '../../src/airsystem/air.ts';
import { createAir, run } from '../../src/airsystem/air.ts';
import { volumetricEfficiency } from '../../src/airsystem/compressor.ts';
import type { Controls } from '../../src/airsystem/controls.ts';
import { HANDS_OFF } from '../../src/airsystem/controls.ts';
import type { Fault } from '../../src/airsystem/fault.ts';
import type { Circuit } from '../../src/units/circuit.ts';
import { absolute, ATMOSPHERE, massOf } from '../../src/airsystem/gas.ts';
import { airMass, gauges, pressures } from '../../src/airsystem/gauges.ts';
import type { AirRig } from '../../src/airsystem/rig.ts';
import { DEMO_RIGS, requiredReservoirLitres } from '../../src/airsystem/rig.ts';

const CUBIC_INCH = 0.016387064; // litres, exact
const PSIA = 14.6959; // the standard atmosphere in psi
const rigs = Object.values(DEMO_RIGS);
const engine31 = DEMO_RIGS['engine-31'];
const tight: AirRig = { ...engine31, restingLeakPsiPerMinute: 0 };
const running: Controls = { ...HANDS_OFF, ignition: true, engine: true };

/** Seconds until a condition holds, found to one step. */
function secondsUntil(
  air: AirState,
  controls: Controls,
  done: (air: AirState) => boolean,
): { seconds: number; air: AirState } {
  const from = air.at;
  let now = air;
  while (!done(now)) {
    now = run(now, controls, now.at + 10);
    if (now.at - from > 600_000) throw new Error('it never came');
  }
  return { seconds: (now.at - from) / 1000, air: now };
}

describe('leak-down', () => {
  it.each([3, 20, 60])('of %f psi/min follows the closed-form exponential of a choked isothermal leak', (rate) => {
    // Choked, the flow is proportional to the absolute pressure: p = p0 exp(−t/τ), and τ = p0 / (dp/dt) from the first minute's rate.
    let air = createAir(tight, [{ kind: 'leak', circuit: 'primary', when: 'always', psiPerMinute: rate }], {
      primary: 120,
      secondary: 120,
    });
    for (let minute = 1; minute <= 5; minute++) {
      air = run(air, HANDS_OFF, minute * 60_000);
      const expected = (120 + PSIA) * Math.exp((-rate * minute) / (120 + PSIA)) - PSIA;
      // From 13 psi down (0.5283 of the pressure is the atmosphere) it is no longer choked.
      if (expected > 14) expect(pressures(air).primary).toBeCloseTo(expected, 2);
    }
  });

  it('of 3 psi/min from 3744 cubic inches is 0.44 cubic feet of free air a minute', () => {
    // 3744 × 3 / 14.696 / 1728 = 0.442 (worked from the gas law).
    const rig: AirRig = {
      ...tight,
      reservoirs: { supply: 1044 * CUBIC_INCH, primary: 2700 * CUBIC_INCH, secondary: 20 },
    };
    const start = createAir(rig, [{ kind: 'leak', circuit: 'primary', when: 'always', psiPerMinute: 3 }], {
      primary: 120,
      secondary: 120,
    });
    const lost = airMass(run(start, HANDS_OFF, 60_000)).vented;
    expect(lost / massOf(ATMOSPHERE, 1) / 0.3048 ** 3).toBeCloseTo(0.44, 2);
  });

  describe.each(rigs)('in both circuits of $name', (demo) => {
    /** psi that each needle falls by in the first minute from 120, parked. */
    const fall = (rig: AirRig, faults: readonly Fault[], controls = HANDS_OFF) => {
      const start = run(createAir(rig, faults, { primary: 120, secondary: 120 }), controls, 10_000);
      const later = run(start, controls, 70_000);
      return (['primary', 'secondary'] as const).map((one) => pressures(start)[one] - pressures(later)[one]);
    };
    const leak = (
      circuit: Circuit,
      psiPerMinute: number,
      when: 'always' | 'released' | 'applied' = 'always',
    ): Fault => ({
      kind: 'leak',
      circuit,
      when,
      psiPerMinute,
    });
    // The whole rig loses what the gas law says: 120 psi falls by (120 + 14.7) (1 − exp(−rate/(120 + 14.7))), whatever tank feeds which.
    const expected = (rate: number, from = 120) => (from + PSIA) * (1 - Math.exp(-rate / (from + PSIA)));

    it('counts the supply tank once: 0.3 psi/min at rest is 0.3, and 3 in both is 3', () => {
      for (const drop of fall({ ...demo, restingLeakPsiPerMinute: 0.3 }, []))
        expect(drop).toBeCloseTo(expected(0.3), 2);
      const both = [leak('primary', 3), leak('secondary', 3)];
      const tightRig = { ...demo, restingLeakPsiPerMinute: 0 };
      // The measured minute begins ten seconds after 120 psi, at 119.5.
      for (const drop of fall(tightRig, both)) expect(drop).toBeCloseTo(expected(3, 119.5), 1);
    });

    it('lets each fall at its own rate, the supply tank with the faster', () => {
      const unlike = [leak('primary', 2), leak('secondary', 5, 'released')];
      const [primary, secondary] = fall({ ...demo, restingLeakPsiPerMinute: 0 }, unlike);
      expect(primary).toBeCloseTo(expected(2, 119.7), 1);
      expect(secondary).toBeCloseTo(expected(5, 119.2), 1);
    });

    it('gives a leak in the chambers its rate beside the one at rest, with 30 psi at the pedal', () => {
      const applied = { ...HANDS_OFF, pedalPsi: 30 };
      const rig = { ...demo, restingLeakPsiPerMinute: 0.3 };
      const [, secondary] = fall(rig, [leak('secondary', 6, 'applied')], applied);
      // The chambers stay at 30 psi, so the leak does not slacken as the tank empties.
      expect(Math.abs((secondary ?? NaN) - 6.3)).toBeLessThan(0.1);
    });
  });

  it('in one circuit leaves the other where it was', () => {
    const start = createAir(tight, [{ kind: 'leak', circuit: 'secondary', when: 'always', psiPerMinute: 60 }], {
      primary: 120,
      secondary: 120,
    });
    const after = pressures(run(start, HANDS_OFF, 20 * 60_000));
    expect(after.primary).toBeCloseTo(120, 6);
    expect(after.secondary).toBeLessThan(5);
  });
});

describe('one application of the service brake', () => {
  // Reservoirs of 12 times the chambers (49 CFR 571.121 S5.1.2.1), full stroke, isothermal: gauge P' = P × 12/13.
  // Both circuits alike, so that the supply reservoir favours neither.
  const circuit = 2 * 89 * CUBIC_INCH;
  const alike = { type: 30, count: 2 } as const;
  const rig: AirRig = {
    ...tight,
    chambers: { front: alike, rear: alike, stroke: 1 },
    reservoirs: { supply: 4 * circuit, primary: 10 * circuit, secondary: 10 * circuit },
  };
  const applied = { ...HANDS_OFF, pedalPsi: 150 };
  const fan = (air: AirState) => run(run(air, applied, air.at + 6000), HANDS_OFF, air.at + 12_000);

  it('takes the gauges from 120 to 110.8 psi, and fanning follows the series', () => {
    // Fan-down from 120 psi, by the number of applications.
    const series = new Map([
      [1, 110.8],
      [2, 102.2],
      [3, 94.4],
      [4, 87.1],
      [5, 80.4],
      [6, 74.2],
      [7, 68.5],
      [8, 63.3],
      [9, 58.4],
      [14, 39.1],
      [23, 19.0],
    ]);
    let air = createAir(rig, [], { primary: 120, secondary: 120 });
    for (let application = 1; application <= 23; application++) {
      air = fan(air);
      const expected = series.get(application);
      if (expected === undefined) continue;
      // The series is printed to 0.1 psi.
      expect(Math.abs(gauges(air).primary - expected)).toBeLessThan(0.06);
      expect(Math.abs(gauges(air).secondary - expected)).toBeLessThan(0.06);
    }
  });

  it('with real travel is scaled by the stroke', () => {
    const half: AirRig = { ...rig, chambers: { ...rig.chambers, stroke: 0.5 } };
    const air = fan(createAir(half, [], { primary: 120, secondary: 120 }));
    expect(gauges(air).primary).toBeCloseTo((120 * 12) / 12.5, 1);
  });

  it.each(rigs)('leaves $name at least 70 % of the reading, engine stopped (older text of 49 CFR 393.50)', (demo) => {
    const air = fan(createAir(demo, [], { primary: 110, secondary: 110 }));
    expect(Math.min(gauges(air).primary, gauges(air).secondary)).toBeGreaterThan(0.7 * 110);
  });

  it.each(rigs)(
    'of $name fills to 60 psi in 0.45 s and empties from 95 to 5 psi in 0.55 s (49 CFR 571.121 S5.3.3, S5.3.4)',
    (demo) => {
      // The release time is from memory.
      const ready = createAir(demo, [], { primary: 100, secondary: 100 });
      const filled = secondsUntil(ready, applied, (air) => Math.min(pressures(air).rear, pressures(air).front) >= 60);
      expect(filled.seconds).toBeLessThanOrEqual(0.45);
      const full = run(ready, { ...HANDS_OFF, pedalPsi: 95 }, 20_000);
      const emptied = secondsUntil(full, HANDS_OFF, (air) => Math.max(pressures(air).rear, pressures(air).front) <= 5);
      expect(emptied.seconds).toBeLessThanOrEqual(0.55);
    },
  );
});

describe('fill time', () => {
  const total = (air: AirRig) =>
    air.reservoirs.supply + air.reservoirs.primary + air.reservoirs.secondary + air.dryerLitres;
  const from85to100 = (rig: AirRig, controls: Controls) => {
    const at85 = secondsUntil(createAir(rig), controls, (air) => pressures(air).primary >= 85).air;
    return secondsUntil(at85, controls, (air) => pressures(air).primary >= 100).seconds;
  };

  it.each([
    [3744, 16.8],
    [5880, 26.3],
  ])(
    'of %f cubic inches from 85 to 100 psi with 13.2 cfm at 60 per cent is %f s by the mass balance',
    (volume, seconds) => {
      const litres = volume * CUBIC_INCH;
      const rig: AirRig = {
        ...tight,
        dryerLitres: 0.2,
        reservoirs: { supply: 0.2 * litres - 0.2, primary: 0.4 * litres, secondary: 0.4 * litres },
        compressor: { litresPerRev: (13.2 * 28.316846592) / 1250, speedRatio: 1, clearance: 0, filling: 0.6 },
      };
      // The figures are printed to 0.1 s.
      expect(Math.abs(from85to100(rig, { ...running, throttleRpm: 1250 }) - seconds)).toBeLessThan(0.06);
    },
  );

  it.each(rigs)('of $name agrees with the mass balance integrated over the falling efficiency', (demo) => {
    const rig: AirRig = { ...demo, restingLeakPsiPerMinute: 0 };
    // ∫ V dp / (pa Q η(p)), by the midpoint rule.
    const steps = 1000;
    let seconds = 0;
    for (let part = 0; part < steps; part++) {
      const psi = 85 + (15 * (part + 0.5)) / steps;
      const litresPerSecond = (rig.compressor.litresPerRev * 1200) / 60;
      const delivered = litresPerSecond * volumetricEfficiency(rig.compressor, absolute(psi));
      seconds += (total(rig) * 15) / steps / PSIA / delivered;
    }
    // The dryer stands a little above the reservoirs while it fills them.
    expect(from85to100(rig, { ...running, fastIdle: true }) / seconds).toBeCloseTo(1, 2);
  });

  it('lets the compressor fall to about 60 % at 100 psi, less at 125, none far above', () => {
    const at = (psi: number) => volumetricEfficiency(engine31.compressor, absolute(psi));
    expect(at(100)).toBeCloseTo(0.61, 1);
    expect(at(125)).toBeLessThan(at(100));
    expect(at(1000)).toBe(0);
  });

  it.each(rigs)(
    'of $name from 85 to 100 psi is at most 45 s at 1200 rpm (commercial driver manual, section 5)',
    (rig) => {
      expect(from85to100(rig, { ...running, fastIdle: true })).toBeLessThanOrEqual(45);
    },
  );

  it.each(rigs)(
    'of $name at maximum rpm meets 49 CFR 571.121 S5.1.1: actual capacity × 25 / required, seconds',
    (rig) => {
      const { supply, primary, secondary } = rig.reservoirs;
      const required = requiredReservoirLitres(rig);
      expect(supply + primary + secondary).toBeGreaterThanOrEqual(required); // S5.1.2.1
      const limit = ((supply + primary + secondary) * 25) / required;
      expect(from85to100(rig, { ...running, throttleRpm: rig.engine.maxRpm })).toBeLessThanOrEqual(limit);
    },
  );

  it('needs 12 × 312 and 12 × 490 cubic inches on the two-axle and the tandem rig', () => {
    expect(requiredReservoirLitres(engine31) / CUBIC_INCH).toBeCloseTo(3744, 6);
    expect(requiredReservoirLitres(DEMO_RIGS['ladder-36']) / CUBIC_INCH).toBeCloseTo(5880, 6);
  });
});
