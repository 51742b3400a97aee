import type { Pressure } from '../units/pressure.ts';
import type { Source } from './result.ts';

/** What of a cab can be known from what was called, and the states each may be in. */
export const CAB_PARTS = {
  engine: ['off', 'running'],
  'fast idle': ['off', 'on'],
  'parking brake': ['set', 'released'],
  'brake pedal': ['free', 'applied', 'fanned'],
  selector: ['in drive', 'neutral'],
  chocks: ['set', 'stowed'],
  needles: ['settled'],
  ground: ['level'],
} as const satisfies Readonly<Record<string, readonly string[]>>;
export type CabPart = keyof typeof CAB_PARTS;

interface Basis {
  readonly source: Source;
}

/**
 * What must be true for a measurement to count. `must`: it has to be known from a callout, and unknown is `not judged`;
 * `assumed`: it is taken as true, and shown as assumed, while no callout contradicts it.
 */
export type Condition = Basis &
  (
    | {
        readonly part: CabPart;
        readonly is: string;
        readonly known: 'must' | 'assumed';
        /** `within`: only what is called in the step itself counts against it; `before`: it has to be known since before the step. */
        readonly since?: 'within' | 'before';
      }
    /** Both needles at the first reading, or the only one, at least. */
    | { readonly lowestStart: Pressure }
    /** Between the needles of one reading, at most. */
    | { readonly circuitsApart: Pressure }
    /** From the moment's first word to the first word of its needles, at most. */
    | { readonly momentToNeedles: { readonly seconds: number } }
  );

/** True for a condition of the cab, as against one of the needles. */
export function isOfCab(condition: Condition): condition is Extract<Condition, { part: CabPart }> {
  return 'part' in condition;
}
