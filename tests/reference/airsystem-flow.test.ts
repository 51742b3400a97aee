import { describe, expect, it } from 'vitest';
import { absolute, ATMOSPHERE, massOf, orificeFlow, valveFlow } from '../../src/airsystem/gas.ts';

const INCH = 0.0254;
const CFM = 0.3048 ** 3 / 60;

describe('flow through an orifice', () => {
  // Compressible flow tables for an ideal gas, k = 1.4, subsonic part (NACA TN 1592 and any textbook's appendix): Mach, p/pt, A/A*.
  // A nozzle that ends at that Mach number passes A*/A of what the same opening passes when choked.
  it.each([
    [0.1, 0.993, 5.8218],
    [0.2, 0.9725, 2.9635],
    [0.5, 0.843, 1.3398],
    [0.6, 0.784, 1.1882],
    [0.82, 0.643, 1.0305],
    [0.9, 0.5913, 1.0089],
  ])('at Mach %f agrees with the isentropic tables', (mach, ratio, area) => {
    const upstream = 500_000;
    const choked = orificeFlow(1e-6, upstream, 0.1 * upstream);
    const share = orificeFlow(1e-6, upstream, ratio * upstream) / choked;
    // The tables' pressure ratio has four decimals, which matter most at low speed.
    expect(Math.abs(share * area - 1)).toBeLessThan(mach < 0.15 ? 0.005 : 0.001);
  });

  it('is choked from a pressure ratio of 0.5283 (the tables at Mach 1) downwards', () => {
    expect(orificeFlow(1e-6, 1e6, 528_000)).toBe(orificeFlow(1e-6, 1e6, 100_000));
    expect(orificeFlow(1e-6, 1e6, 540_000)).toBeLessThan(orificeFlow(1e-6, 1e6, 528_000));
  });

  // "Discharge of air through an orifice", data sheet 15-010504-002: free air in cubic feet per minute, coefficient of flow 100 %.
  // Values up to 15 psi by the adiabatic formula. It says itself that its results are approximate.
  it.each([
    [1, 1 / 4, 7.18],
    [5, 1 / 4, 15.9],
    [12, 1 / 4, 24.3],
    [30, 1 / 4, 40.5],
    [60, 1 / 8, 16.9],
    [100, 1 / 64, 0.406],
    [100, 1 / 4, 104],
    [120, 1 / 32, 1.91],
    [125, 1 / 16, 7.9],
  ])('from %f psi through %f in discharges the published %f cfm', (psi, diameter, cfm) => {
    const area = (Math.PI / 4) * (diameter * INCH) ** 2;
    const free = orificeFlow(area, absolute(psi), ATMOSPHERE) / massOf(ATMOSPHERE, 1) / CFM;
    expect(Math.abs(free / cfm - 1)).toBeLessThan(0.015);
  });
});

describe('flow through a valve by ISO 6358', () => {
  // ISO 6358 (formula from memory): sonic conductance is free air at 100 kPa and 20 °C per second and absolute bar when choked.
  const conductance = 5e-8; // 5 l/(s bar)
  const freeLitres = (kg: number) => (kg / massOf(100_000, 1)) * 1000;

  it('passes 5 l/s of free air per bar upstream when choked, by the definition of the sonic conductance', () => {
    expect(freeLitres(valveFlow(conductance, 0.3, 700_000, 150_000))).toBeCloseTo(35, 9);
  });

  it.each([
    [0.3, 1],
    [0.65, 0.866_025_4], // half way from b to 1 on the quarter ellipse: √(1 − 1/4)
    [0.86, 0.6], // 0.8 of the way: √(1 − 0.64)
    [1, 0],
  ])('at a pressure ratio of %f with b = 0.3 passes %f of the choked flow', (ratio, share) => {
    expect(freeLitres(valveFlow(conductance, 0.3, 700_000, ratio * 700_000)) / 35).toBeCloseTo(share, 6);
  });
});
