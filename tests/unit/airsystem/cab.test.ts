import { describe, expect, it } from 'vitest';
import type { AirEventKind, AirState, StartPsi } from '../../../src/airsystem/air.ts';
import { createAir, run, step } from '../../../src/airsystem/air.ts';
import type { Controls } from '../../../src/airsystem/controls.ts';
import { HANDS_OFF } from '../../../src/airsystem/controls.ts';
import type { Fault } from '../../../src/airsystem/fault.ts';
import { dial, gauges, pressures } from '../../../src/airsystem/gauges.ts';
import { DEMO_RIGS } from '../../../src/airsystem/rig.ts';

const engine31 = DEMO_RIGS['engine-31'];
const tender34 = DEMO_RIGS['tender-34'];
const on: Controls = { ...HANDS_OFF, ignition: true };
const idling: Controls = { ...on, engine: true };

const at = (psi: number, faults: Fault[] = []): AirState =>
  createAir(engine31, faults, { primary: psi, secondary: psi });
const circuits = (start: StartPsi, faults: Fault[] = []) => createAir(engine31, faults, start);
const after = (air: AirState, controls: Controls, seconds: number) => run(air, controls, air.at + seconds * 1000);
const kinds = (air: AirState): AirEventKind[] => air.events.map((event) => event.kind);

describe('the governor', () => {
  it('stops the compressor at the cut-out, purges the dryer, and starts it again only at the cut-in', () => {
    const full = after(at(115), idling, 60);
    expect(kinds(full)).toEqual(['governor-cut-out', 'dryer-purge']);
    expect(gauges(full).primary).toBeCloseTo(122, 0);
    expect(pressures(full).dryer).toBeLessThan(1);

    const between = after(after(full, { ...idling, pedalPsi: 150 }, 3), idling, 4);
    expect(gauges(between).primary).toBeLessThan(120);
    expect(gauges(after(between, idling, 10)).primary).toBeLessThanOrEqual(gauges(between).primary);

    let low = between;
    while (!low.loaded) low = after(after(low, { ...idling, pedalPsi: 150 }, 3), idling, 4);
    expect(gauges(low).primary).toBeLessThan(101);
    expect(gauges(after(low, idling, 5)).primary).toBeGreaterThan(gauges(low).primary + 1);
  });

  it('cannot fill without the engine, nor can the engine run without the ignition', () => {
    expect(gauges(after(at(75), on, 30)).primary).toBeLessThan(75);
    expect(gauges(after(at(75), { ...idling, ignition: false }, 30)).primary).toBeLessThan(75);
  });

  it('lets the needles rise faster at fast idle', () => {
    const rise = (controls: Controls) => gauges(after(at(75), controls, 20)).primary - 75;
    expect(rise({ ...idling, fastIdle: true }) / rise(idling)).toBeGreaterThan(1.5);
  });
});

describe('the low-air warning', () => {
  it('sounds for either circuit alone, only with the ignition on, and stops when the pressure is back', () => {
    expect(after(circuits({ primary: 110, secondary: 60 }), on, 1).buzzer).toBe(true);
    expect(after(circuits({ primary: 60, secondary: 110 }), on, 1).buzzer).toBe(true);
    expect(after(at(60), HANDS_OFF, 1).buzzer).toBe(false);
    expect(after(at(90), on, 1).buzzer).toBe(false);

    const filled = after(after(at(60), on, 1), idling, 60);
    expect(kinds(filled)).toContain('buzzer-off');
  });

  it('of one dead switch still sounds through the other', () => {
    const dead: Fault = { kind: 'dead-low-air-switch', circuit: 'primary' };
    expect(after(circuits({ primary: 40, secondary: 110 }, [dead]), on, 1).buzzer).toBe(false);
    expect(after(at(40, [dead]), on, 1).buzzer).toBe(true);
  });
});

describe('the parking valve', () => {
  const push: Controls = { ...on, parking: 'push' };

  it('pushed in fills the spring chambers from the reservoirs, pulled out empties them', () => {
    const released = after(at(120), push, 10);
    expect(released.parkingOut).toBe(false);
    expect(pressures(released).springs).toBeGreaterThan(110);
    expect(gauges(released).primary).toBeLessThan(119.5);
    const parked = after(released, { ...on, parking: 'pull' }, 5);
    expect(parked.parkingOut).toBe(true);
    expect(pressures(parked).springs).toBeLessThan(1);
  });

  it('pops by itself at its pressure in the circuit that has more, and will not stay in below it', () => {
    const low = after(after(circuits({ primary: 60, secondary: 20 }), push, 0.01), on, 5);
    expect(low.parkingOut).toBe(false);
    let air = after(after(at(50), push, 1), on, 5);
    while (!air.parkingOut) {
      const before = Math.max(pressures(air).primary, pressures(air).secondary);
      expect(before).toBeGreaterThan(engine31.popOutPsi);
      air = step(air, { ...on, pedalPsi: Math.floor(air.at / 3000) % 2 === 0 ? 150 : 0 });
    }
    expect(kinds(air)).toEqual(['valve-popped']);
    expect(after(at(30), push, 1).parkingOut).toBe(true);
  });

  it('that is stuck for good stays in down to an empty rig', () => {
    let air = after(at(60, [{ kind: 'sticking-parking-valve', popsAtPsi: 0 }]), push, 1);
    for (let fan = 0; fan < 80; fan++) air = after(after(air, { ...on, pedalPsi: 150 }, 3), on, 4);
    expect(gauges(air).primary).toBeLessThan(5);
    expect(air.parkingOut).toBe(false);
  });
});

describe('the service brake', () => {
  it('takes its air from the reservoirs and gives it to the atmosphere', () => {
    const braked = after(at(120), { ...on, pedalPsi: 60 }, 3);
    expect(pressures(braked).rear).toBeCloseTo(60, 1);
    expect(pressures(braked).front).toBeCloseTo(60, 1);
    const drop = gauges(braked).primary;
    expect(drop).toBeLessThan(119);
    const released = after(braked, on, 3);
    expect(pressures(released).rear).toBeCloseTo(0, 3);
    expect(gauges(released).primary).toBeLessThanOrEqual(drop + 0.1);
  });

  it('cannot press harder than its circuit', () => {
    expect(pressures(after(at(40), { ...on, pedalPsi: 150 }, 5)).rear).toBeLessThan(40);
  });

  it('is worked at the rear by the hand valve, where one is fitted', () => {
    const hand: Controls = { ...on, handValvePsi: 30 };
    const fitted = pressures(after(createAir(tender34, [], { primary: 110, secondary: 110 }), hand, 3));
    expect(fitted.rear).toBeCloseTo(30, 1);
    expect(fitted.front).toBeCloseTo(0, 3);
    expect(pressures(after(at(110), hand, 3)).rear).toBeCloseTo(0, 3);
  });
});

describe('against the engine in drive', () => {
  const drive: Controls = { ...idling, drive: true };
  const push: Controls = { ...idling, parking: 'push' };

  it('the parked rig holds up to 1000 rpm, a released one moves, the hand valve at 30 psi holds at idle', () => {
    expect(after(at(110), { ...drive, throttleRpm: 1000 }, 3).moving).toBe(false);
    const released = after(after(at(110), push, 5), drive, 3);
    expect(released.moving).toBe(true);
    expect(kinds(released)).toContain('rig-moved');
    const tender = after(createAir(tender34, [], { primary: 110, secondary: 110 }), push, 5);
    expect(after(tender, { ...drive, handValvePsi: 30 }, 3).moving).toBe(false);
    expect(kinds(after(released, { ...drive, pedalPsi: 60 }, 3))).toContain('rig-stopped');
  });

  it('a rig with weak springs moves', () => {
    expect(after(at(110, [{ kind: 'weak-hold', remaining: 0.2 }]), drive, 3).moving).toBe(true);
  });
});

describe('the gauges', () => {
  it('lag and read high where they are faulty, and only there', () => {
    const faults: Fault[] = [
      { kind: 'lagging-gauge', circuit: 'primary', seconds: 20 },
      { kind: 'high-gauge', circuit: 'secondary', percent: 10 },
    ];
    const braked = after(at(100, faults), { ...on, pedalPsi: 150 }, 5);
    const good = after(at(100), { ...on, pedalPsi: 150 }, 5);
    expect(pressures(braked).primary).toBeCloseTo(pressures(good).primary, 6);
    expect(gauges(braked).primary - pressures(braked).primary).toBeGreaterThan(2);
    expect(gauges(braked).secondary / gauges(good).secondary).toBeCloseTo(1.1, 6);
  });

  it('are read to the smallest step of the dial, in the dial’s own unit', () => {
    const metric = { ...engine31, gauge: { ...engine31.gauge, unit: 'kPa' as const, resolution: 20 } };
    const air = createAir(metric, [], { primary: 100, secondary: 86 });
    // 100 psi = 689.5 kPa, 86 psi = 592.9 kPa.
    expect(dial(air)).toEqual({ primary: { value: 680, unit: 'kPa' }, secondary: { value: 600, unit: 'kPa' } });
  });
});

describe('the safety valve', () => {
  it('keeps the supply at 150 psi when the governor never stops the compressor', () => {
    const stuck = { ...engine31, governor: { cutOutPsi: 400, cutInPsi: 390 } };
    const air = after(createAir(stuck, [], { primary: 140, secondary: 140 }), { ...idling, throttleRpm: 2100 }, 120);
    expect(pressures(air).supply).toBeLessThan(150.5);
    expect(pressures(air).supply).toBeGreaterThan(149);
  });
});
