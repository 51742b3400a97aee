import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { AirState } from '../../../src/airsystem/air.ts';
import { createAir, run } from '../../../src/airsystem/air.ts';
import type { Controls } from '../../../src/airsystem/controls.ts';
import { HANDS_OFF } from '../../../src/airsystem/controls.ts';
import type { Fault } from '../../../src/airsystem/fault.ts';
import { gauges, pressures } from '../../../src/airsystem/gauges.ts';
import type { CabHeld, Reach, Reachable, Stretch } from '../../../src/airsystem/reach.ts';
import { reachable, reachableThrough } from '../../../src/airsystem/reach.ts';
import { DEMO_RIGS } from '../../../src/airsystem/rig.ts';

const CIRCUITS = ['primary', 'secondary'] as const;
const rig = fc.constantFrom(...Object.values(DEMO_RIGS));
const circuit = fc.constantFrom(...CIRCUITS);
/** All faults of the air; those of the gauges are in the last test. No leak is a burst: the fault file stops at 60 psi/min. */
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
    fc.record({ kind: fc.constant('weak-hold' as const), remaining: fc.constant(0.3) }),
  ),
  { selector: (fault) => fault.kind, maxLength: 3 },
);
const start = fc.record({
  primary: fc.double({ min: 0, max: 130, noNaN: true }),
  secondary: fc.double({ min: 0, max: 130, noNaN: true }),
});

/** One thing done in the cab: what the hands hold, and for how long; a fanned pedal is on and off for half a second each. */
const act = fc.record({
  engine: fc.constantFrom('off' as const, 'running' as const, 'fast-idle' as const),
  pedal: fc.constantFrom('free' as const, 'applied' as const, 'fanned' as const),
  parking: fc.constantFrom('set' as const, 'released' as const),
  seconds: fc.integer({ min: 1, max: 30 }),
  pedalPsi: fc.constantFrom(30, 90, 150),
});
type Act = typeof act extends fc.Arbitrary<infer T> ? T : never;

function held({ engine, pedal, parking, pedalPsi }: Act): Controls {
  return {
    ...HANDS_OFF,
    ignition: true,
    engine: engine !== 'off',
    fastIdle: engine === 'fast-idle',
    ...(engine === 'fast-idle' ? { throttleRpm: 2100 } : {}),
    pedalPsi: pedal === 'free' ? 0 : pedalPsi,
    parking: parking === 'set' ? 'pull' : 'push',
  };
}

function done(air: AirState, what: Act): AirState {
  const controls = held(what);
  if (what.pedal !== 'fanned') return run(air, controls, air.at + what.seconds * 1000);
  let now = air;
  for (const end = air.at + what.seconds * 1000; now.at < end;) {
    now = run(now, controls, now.at + 500);
    now = run(now, { ...controls, pedalPsi: 0 }, now.at + 500);
  }
  return now;
}

function cabOf({ engine, pedal, parking }: Act): CabHeld {
  return { engine, pedal, parking };
}

/** The circuits that are outside; with a hair for the round numbers of floating point. */
function outside(reach: Reach, psi: Readonly<Record<'primary' | 'secondary', number>>): string[] {
  return CIRCUITS.filter((one) => psi[one] < reach[one].min - 1e-6 || psi[one] > reach[one].max + 1e-6).map(
    (one) => `${one} ${String(psi[one])} is outside ${String(reach[one].min)} to ${String(reach[one].max)}`,
  );
}

describe('what the simulated air does', { timeout: 600_000 }, () => {
  it('is always possible after one act, with the data of the rig and without', () => {
    fc.assert(
      fc.property(
        rig,
        faults,
        start,
        fc.array(act, { minLength: 1, maxLength: 8 }),
        (theRig, theFaults, from, acts) => {
          let air = createAir(theRig, theFaults, from);
          for (const what of acts) {
            const before = pressures(air);
            air = done(air, what);
            for (const known of [theRig, undefined]) {
              expect(outside(reachable(known, before, cabOf(what), what.seconds).possible, pressures(air))).toEqual([]);
            }
          }
        },
      ),
      { numRuns: 50 },
    );
  });

  it('is always possible through a row of acts, with no reading between them', () => {
    fc.assert(
      fc.property(
        rig,
        faults,
        start,
        fc.array(act, { minLength: 1, maxLength: 8 }),
        (theRig, theFaults, from, acts) => {
          // A pedal that is eased and pushed again without being let go is not one application: one pressure a row.
          const like = acts.map((what) => ({ ...what, pedalPsi: acts[0]?.pedalPsi ?? 30 }));
          const begin = createAir(theRig, theFaults, from);
          const air = like.reduce(done, begin);
          const stretches: Stretch[] = like.map((what) => ({ cab: cabOf(what), seconds: what.seconds }));
          expect(outside(reachableThrough(theRig, pressures(begin), stretches).possible, pressures(air))).toEqual([]);
        },
      ),
      { numRuns: 50 },
    );
  });

  it('is likely on a rig in order, and with a leak of up to 15 psi a minute', () => {
    const leaks = fc.option(
      fc.record({
        kind: fc.constant('leak' as const),
        circuit,
        when: fc.constantFrom('always' as const, 'released' as const, 'applied' as const),
        psiPerMinute: fc.double({ min: 0.1, max: 15, noNaN: true }),
      }),
    );
    const charged = fc.double({ min: 60, max: 118, noNaN: true }).map((psi) => ({ primary: psi, secondary: psi }));
    fc.assert(
      fc.property(rig, leaks, charged, fc.array(act, { minLength: 1, maxLength: 8 }), (theRig, leak, from, acts) => {
        let air = createAir(theRig, leak === null ? [] : [leak], from);
        for (const what of acts) {
          const before = gauges(air);
          air = done(air, what);
          expect(outside(reachable(undefined, before, cabOf(what), what.seconds).likely, gauges(air))).toEqual([]);
        }
      }),
      { numRuns: 50 },
    );
  });

  it('is not likely on a needle that goes on rising long after the engine is off', () => {
    const lagging: Fault = { kind: 'lagging-gauge', circuit: 'primary', seconds: 30 };
    const full = run(createAir(DEMO_RIGS['engine-31'], [lagging]), held({ ...parked, engine: 'fast-idle' }), 90_000);
    const later = run(full, held(parked), full.at + 60_000);
    const { likely } = reachable(undefined, gauges(full), cabOf(parked), 60);
    expect(outside(likely, gauges(later))).toEqual([expect.stringMatching(/^primary/)]);
  });
});

const parked: Act = { engine: 'off', pedal: 'free', parking: 'set', seconds: 60, pedalPsi: 30 };

describe('what is likely', () => {
  const anyCab: fc.Arbitrary<CabHeld> = fc.record({
    engine: fc.constantFrom('off', 'running', 'fast-idle', 'unknown'),
    pedal: fc.constantFrom('free', 'applied', 'fanned', 'unknown'),
    parking: fc.constantFrom('set', 'released', 'unknown'),
  });
  const stretches = fc.array(fc.record({ cab: anyCab, seconds: fc.double({ min: 0, max: 300, noNaN: true }) }), {
    maxLength: 5,
  });
  const isWithin = (inner: Reach, outer: Reach) =>
    CIRCUITS.every((one) => inner[one].min >= outer[one].min - 1e-9 && inner[one].max <= outer[one].max + 1e-9);

  it('is always possible, and holds the pressure that it starts from', () => {
    fc.assert(
      fc.property(fc.option(rig, { nil: undefined }), start, stretches, (theRig, from, through) => {
        const reach: Reachable = reachableThrough(theRig, from, through);
        expect(isWithin(reach.likely, reach.possible)).toBe(true);
        expect(outside(reach.likely, from)).toEqual([]);
      }),
    );
  });

  it('never narrows when less is known of the cab', () => {
    fc.assert(
      fc.property(start, anyCab, fc.double({ min: 0, max: 300, noNaN: true }), (from, cab, seconds) => {
        const known = reachable(undefined, from, cab, seconds);
        for (const part of ['engine', 'pedal', 'parking'] as const) {
          const less = reachable(undefined, from, { ...cab, [part]: 'unknown' }, seconds);
          expect(isWithin(known.possible, less.possible)).toBe(true);
          expect(isWithin(known.likely, less.likely)).toBe(true);
        }
      }),
    );
  });
});
