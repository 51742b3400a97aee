import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { AirState } from '../../../src/airsystem/air.ts';
import { createAir, run, step } from '../../../src/airsystem/air.ts';
import type { Controls } from '../../../src/airsystem/controls.ts';
import type { Fault } from '../../../src/airsystem/fault.ts';
import { absolute, ATMOSPHERE } from '../../../src/airsystem/gas.ts';
import { airMass, dial, pressures } from '../../../src/airsystem/gauges.ts';
import { VOLUMES } from '../../../src/airsystem/plant.ts';
import { DEMO_RIGS } from '../../../src/airsystem/rig.ts';

const rig = fc.constantFrom(...Object.values(DEMO_RIGS));
const circuit = fc.constantFrom('primary' as const, 'secondary' as const);
const faults: fc.Arbitrary<Fault[]> = fc.uniqueArray(
  fc.oneof(
    fc.record({
      kind: fc.constant('leak' as const),
      circuit,
      when: fc.constantFrom('always' as const, 'released' as const, 'applied' as const),
      psiPerMinute: fc.double({ min: 0.1, max: 60, noNaN: true }),
    }),
    fc.record({
      kind: fc.constant('worn-compressor' as const),
      remaining: fc.double({ min: 0, max: 0.95, noNaN: true }),
    }),
    fc.record({
      kind: fc.constant('governor' as const),
      cutOutPsi: fc.double({ min: 101, max: 145, noNaN: true }),
      cutInPsi: fc.double({ min: 50, max: 100, noNaN: true }),
    }),
    fc.record({ kind: fc.constant('dead-low-air-switch' as const), circuit: fc.constant('both' as const) }),
    fc.record({ kind: fc.constant('sticking-parking-valve' as const), popsAtPsi: fc.constantFrom(0, 10) }),
    fc.record({ kind: fc.constant('high-gauge' as const), circuit, percent: fc.constant(20) }),
  ),
  { selector: (fault) => fault.kind, maxLength: 3 },
);
/** Anything a hand, or a broken screen, can do. */
const psi = fc.oneof(fc.double({ min: 0, max: 150, noNaN: true }), fc.constantFrom(0, 150, -5, NaN, Infinity, 1e9));
const controls: fc.Arbitrary<Controls> = fc.record({
  ignition: fc.boolean(),
  engine: fc.boolean(),
  fastIdle: fc.boolean(),
  throttleRpm: psi.map((value) => value * 30),
  pedalPsi: psi,
  handValvePsi: psi,
  parking: fc.constantFrom('leave', 'push', 'pull'),
  drive: fc.boolean(),
});
const acts = fc.array(fc.tuple(controls, fc.integer({ min: 10, max: 20_000 })), { minLength: 1, maxLength: 30 });
const start = fc.record({
  supply: fc.double({ min: 0, max: 100, noNaN: true }),
  primary: fc.double({ min: 0, max: 100, noNaN: true }),
  secondary: fc.double({ min: 0, max: 100, noNaN: true }),
});

/**
 * Work that the stored air could still do against the atmosphere at constant temperature, J: Σ V (p ln(p/pa) − p + pa). No passive part
 * can raise it (second law; the availability of any thermodynamics textbook).
 */
function available(air: AirState): number {
  const all = pressures(air);
  return VOLUMES.reduce((sum, name) => {
    const pressure = absolute(all[name]);
    return sum + air.plant.volume[name] * (pressure * Math.log(pressure / ATMOSPHERE) - pressure + ATMOSPHERE);
  }, 0);
}

describe('whatever is done in the cab', { timeout: 600_000 }, () => {
  it('no air is lost or made, and every pressure stays a number between the atmosphere and the safety valve', () => {
    fc.assert(
      fc.property(rig, faults, start, acts, (theRig, theFaults, from, sequence) => {
        let air = createAir(theRig, theFaults, from);
        for (const [held, ms] of sequence) {
          air = run(air, held, air.at + ms);
          const { initial, drawnIn, vented, stored } = airMass(air);
          expect(Math.abs(initial + drawnIn - vented - stored)).toBeLessThanOrEqual(1e-9 * (initial + drawnIn));
          for (const value of Object.values(pressures(air))) {
            expect(value).toBeGreaterThan(-1e-9);
            // The dryer stands above the supply reservoir while the compressor pumps.
            expect(value).toBeLessThan(155);
          }
          const read = dial(air);
          expect(Number.isInteger(read.primary.value) && Number.isInteger(read.secondary.value)).toBe(true);
        }
      }),
      { numRuns: 60 },
    );
  });

  it('the stored air never gains work while the engine is off', () => {
    fc.assert(
      fc.property(rig, faults, start, acts, (theRig, theFaults, from, sequence) => {
        let air = createAir(theRig, theFaults, from);
        for (const [held, ms] of sequence) {
          const before = available(air);
          air = run(air, { ...held, engine: false }, air.at + ms);
          expect(available(air)).toBeLessThanOrEqual(before * (1 + 1e-12) + 1e-9);
        }
      }),
      { numRuns: 40 },
    );
  });

  it('the compressor adds at most the work of squeezing what it drew to the highest pressure it met', () => {
    fc.assert(
      fc.property(rig, fc.array(controls, { minLength: 1, maxLength: 60 }), (theRig, sequence) => {
        let air = createAir(theRig);
        for (const held of sequence) {
          const next = step(air, { ...held, ignition: true, engine: true, throttleRpm: 2100 }, 50);
          const drawn = next.drawnIn - air.drawnIn;
          // The dryer's pressure with all of the draw in it and none passed on.
          const highest = (air.kg.dryer + drawn) * air.plant.paPerKg.dryer;
          const volumeOfDraw = drawn * air.plant.paPerKg.dryer * air.plant.volume.dryer; // m R T
          const most = volumeOfDraw * Math.log(highest / ATMOSPHERE);
          expect(available(next) - available(air)).toBeLessThanOrEqual(most + 1e-6);
          air = next;
        }
      }),
      { numRuns: 40 },
    );
  });

  it('the same air system runs the same way whatever the frame rate of the screen', () => {
    fc.assert(
      fc.property(
        rig,
        controls,
        fc.array(fc.integer({ min: 1, max: 400 }), { minLength: 1 }),
        (theRig, held, frames) => {
          const begin = createAir(theRig);
          const end = frames.reduce((sum, ms) => sum + ms, 0);
          let air = begin;
          let clock = 0;
          for (const ms of frames) air = run(air, held, (clock += ms));
          expect({ ...air, events: [] }).toEqual({ ...run(begin, held, end), events: [] });
        },
      ),
      { numRuns: 40 },
    );
  });
});
