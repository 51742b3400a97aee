import { describe, expect, it } from 'vitest';
import type { CabHeld } from '../../src/airsystem/reach.ts';
import { reachable, reachableThrough } from '../../src/airsystem/reach.ts';

const parked: CabHeld = { engine: 'off', pedal: 'free', parking: 'set' };
const full = { primary: 120, secondary: 118 };

describe('with the engine off and nobody at the pedal', () => {
  it('neither needle rises by more than two dials can be misread', () => {
    // 1 psi marks: two readings, each to the nearest mark and as much again by parallax, are 2 psi apart.
    const { likely } = reachable(undefined, full, parked, 60);
    expect(likely.primary.max).toBe(122);
    expect(likely.secondary.max).toBe(120);
  });

  it('a tank that warms after a fast application is the only thing that can lift one', () => {
    // Gas law: a tank of 12 chambers cools by (12/13)^0.4 when it fills them fast (n = 1.4): 120.4 psia becomes 124.3, 3.25 % more.
    // 134.7 psia × 1.0325 − 14.7 + 2 = 126.4 psi.
    expect(reachable(undefined, full, parked, 60).possible.primary.max).toBeCloseTo(126.4, 1);
    // As long as it was standing still, so it may be by any time.
    expect(reachable(undefined, full, parked, 900).possible.primary.max).toBeCloseTo(126.4, 1);
  });

  it('a low circuit is not filled by the other (49 CFR 571.121: each is protected from the other)', () => {
    const { likely, possible } = reachable(undefined, { primary: 122, secondary: 40 }, parked, 60);
    expect(likely.secondary.max).toBe(42);
    expect(possible.secondary.max).toBeLessThan(45);
  });

  it('a leak of 60 psi in the first minute is likely, a line torn off possible', () => {
    // Choked and isothermal: p = p0 exp(−t/τ) in psia. 62 s, as the needles may be called 2 s late.
    // τ = 134.7 s: 134.7 × 0.631 − 14.7 − 2 = 68.3.
    expect(reachable(undefined, full, parked, 60).likely.primary.min).toBeCloseTo(68.3, 1);
    // 11 mm bore is 95 mm²; √(287 × 293) = 290 m/s; 0.0307 / (95e-6 × 290 × 0.685) = 1.6 s. In 1 + 2 s: 134.7 × e^−1.875 − 14.7 − 2.
    expect(reachable(undefined, full, parked, 1).possible.primary.min).toBeCloseTo(3.96, 1);
    expect(reachable(undefined, full, parked, 60).possible.primary.min).toBe(0);
  });

  it('coarser dials are believed less', () => {
    const resolution = { primary: { value: 5, unit: 'psi' }, secondary: { value: 10, unit: 'kPa' } } as const;
    const { likely } = reachable({ resolution }, full, parked, 60);
    expect(likely.primary.max).toBe(130);
    expect(likely.secondary.max).toBeCloseTo(118 + (2 * 10) / 6.894757, 6);
  });
});

describe('the pedal', () => {
  const applied: CabHeld = { ...parked, pedal: 'applied' };

  it('put on once takes both figures that the gas law gives for tanks of 12 chambers (49 CFR 571.121 S5.1.2.1)', () => {
    // Slowly 120 × 12/13 = 110.8 psi; fast, n = 1.4, 105.7 psi. With a leak of 60 psi/min for 2 s, and 2 psi of reading: 103.0.
    const { likely } = reachable(undefined, full, applied, 0);
    expect(likely.primary.min).toBeLessThan(105.7);
    expect(likely.primary.min).toBeCloseTo(103.0, 1);
  });

  it('put on once cannot empty a tank that no line is torn from', () => {
    // A circuit's own tank of 6 chambers, n = 1.4: 134.7 × (6/7)^1.4 = 108.6 psia. With 2 s of a torn line: × e^−1.25 = 31.1 − 14.7 − 2.
    expect(reachable(undefined, full, applied, 0).possible.primary.min).toBeCloseTo(14.4, 1);
  });

  it.each([
    [1, 110.8],
    [2, 102.2],
    [3, 94.4],
    [5, 80.4],
    [9, 58.4],
    [14, 39.1],
    [23, 19.0],
  ])('fanned %i times may leave the %f psi of the series P × 12/13', (times, psi) => {
    // An application takes 0.45 s on (S5.3.3) and 0.55 s off (S5.3.4, from memory).
    const { likely } = reachable(undefined, { primary: 120, secondary: 120 }, { ...parked, pedal: 'fanned' }, times);
    expect(likely.primary.min).toBeLessThan(psi);
    expect(likely.primary.max).toBeGreaterThan(120);
  });

  it('is fanned from 120 psi to the spring brakes in ten seconds, hardly in two', () => {
    // (12/13)^12 × 120 = 45.9 and (12/13)^4 × 120 = 87.1, before cooling, leak and reading.
    const fanned = (seconds: number) => reachable(undefined, full, { ...parked, pedal: 'fanned' }, seconds).likely;
    expect(fanned(10).primary.min).toBeLessThan(45);
    expect(fanned(2).primary.min).toBeGreaterThan(75);
  });
});

describe('the compressor', () => {
  const at85 = { primary: 85, secondary: 85 };
  const fast: CabHeld = { ...parked, engine: 'fast-idle' };
  const lower = (seconds: number, cab = fast) => reachable(undefined, at85, cab, seconds).likely.primary.max;

  it('needs time for 85 to 100 psi: published and worked times are likely, three seconds are not', () => {
    // 25 s: the most that 49 CFR 571.121 S5.1.1 gives to tanks of the required size; 16.8 s: 13.2 cfm at 60 % into 3744 in³.
    expect(lower(25)).toBeGreaterThan(100);
    expect(lower(16.8)).toBeGreaterThan(100);
    // 18.7 cfm at 1250 rpm is 890 l/min at 2100 rpm; 60 % of it for 3 + 2 s into 61.4 l: 44.5/61.4 × 14.7 = 10.6 psi, and 2 of reading.
    expect(lower(3)).toBeCloseTo(97.6, 1);
    // At an idle of 1200 rpm at most: 10.6 × 1200/2100 = 6.1.
    expect(lower(3, { ...fast, engine: 'running' })).toBeCloseTo(93.1, 1);
  });

  it('cannot do more than fill one circuit and its supply tank with all that it sweeps', () => {
    // 890 l/min for 1 + 2 s: 44.5 l. To 95 psi alone: 10/14.7 × 30.7 = 20.9 l. The other 23.6 l in 61.4 l: 5.6 psi. Warming and reading:
    // (100.6 + 14.7) × 1.0325 − 14.7 + 2 = 106.4.
    expect(reachable(undefined, at85, fast, 1).possible.primary.max).toBeCloseTo(106.4, 1);
  });

  it('fills the lower circuit first, also from the supply tank', () => {
    // The supply tank at the 120 psi of the other circuit, as large as the lower one's: (120 + 40) / 2 = 80 psi at once.
    const { likely } = reachable(undefined, { primary: 120, secondary: 40 }, fast, 0);
    expect(likely.secondary.max).toBeGreaterThan(80);
    expect(likely.primary.max).toBeLessThan(127);
  });

  it('stops at the safety valve of 150 psi at most (California Vehicle Code 26503), 165 on a gauge 10 % high (26505)', () => {
    const { likely, possible } = reachable(undefined, at85, fast, 600);
    expect(likely.primary.max).toBe(152);
    expect(possible.primary.max).toBeLessThan(175);
  });

  it('of a rig with known tanks and a greater rated displacement is that rig’s', () => {
    // 1059 l/min rated is twice the generic 529.5: in twice the tanks the same rise.
    const rig = { reservoirs: { supply: 40.8, primary: 41, secondary: 41 }, compressorDisplacement: 1059.06 };
    const { likely } = reachable(rig, at85, fast, 3);
    expect(likely.primary.max).toBeCloseTo(97.6, 1);
  });
});

describe('through several states of the cab', () => {
  it('each does its part: full at governed speed, then stopped, then one application', () => {
    const reach = reachableThrough(undefined, { primary: 85, secondary: 85 }, [
      { cab: { ...parked, engine: 'fast-idle' }, seconds: 30 },
      { cab: parked, seconds: 20 },
      { cab: { ...parked, pedal: 'applied' }, seconds: 10 },
    ]);
    expect(reach.likely.primary.max).toBeGreaterThan(145);
    expect(reach.likely.primary.min).toBeLessThan(60);
  });

  it('the same state twice is one stretch: a pedal held through two callouts is one application', () => {
    const applied: CabHeld = { ...parked, pedal: 'applied' };
    const once = reachable(undefined, full, applied, 30);
    const twice = reachableThrough(undefined, full, [
      { cab: applied, seconds: 10 },
      { cab: applied, seconds: 20 },
    ]);
    expect(twice).toEqual(once);
  });
});
