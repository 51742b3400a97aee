import type { PressureUnit } from '../../units/pressure.ts';
import { pressureIn } from '../../units/pressure.ts';

/** The face of a dial: where its scale ends and what is marked on it, in its own unit. */
export interface Face {
  readonly max: number;
  /** Distance of the small marks, of the long ones, and of the numbers. */
  readonly small: number;
  readonly long: number;
  readonly number: number;
}

export const FACES: Readonly<Record<PressureUnit, Face>> = {
  psi: { max: 160, small: 2, long: 10, number: 20 },
  kPa: { max: 1100, small: 20, long: 100, number: 200 },
};

/** Degrees of the whole scale; what is left open at the bottom is for the name. */
const SWEEP = 300;

/** Degrees clockwise from straight up for a value on the face; the needle stops at either end of the scale. */
export function angleOf(value: number, { max }: Face): number {
  return -SWEEP / 2 + (SWEEP * Math.min(max, Math.max(0, value))) / max;
}

/** A point at `radius` from the middle, at degrees clockwise from straight up. */
export function pointAt(degrees: number, radius: number): { readonly x: number; readonly y: number } {
  const turn = (degrees * Math.PI) / 180;
  return { x: radius * Math.sin(turn), y: -radius * Math.cos(turn) };
}

export interface Mark {
  readonly value: number;
  readonly kind: 'small' | 'long' | 'number';
}

/** All marks of a face, from 0 up. */
export function marksOf({ max, small, long, number }: Face): readonly Mark[] {
  return Array.from({ length: Math.floor(max / small) + 1 }, (_, index) => {
    const value = index * small;
    return { value, kind: value % number === 0 ? 'number' : value % long === 0 ? 'long' : 'small' };
  });
}

/** What somebody reads off the dial: to its nearest mark of `resolution`, in its unit. */
export function readOff(psi: number, unit: PressureUnit, resolution: number): number {
  return Math.round(pressureIn({ value: psi, unit: 'psi' }, unit) / resolution) * resolution;
}
