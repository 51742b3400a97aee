import * as v from 'valibot';
import { CIRCUITS, type Circuit } from '../units/circuit.ts';
import { between } from './schema.ts';

const circuit = v.picklist(CIRCUITS, 'must be primary or secondary');
const switches = v.picklist(['primary', 'secondary', 'both'], 'must be primary, secondary or both');
const share = between(0, 0.95);

const FAULTS = [
  /** Air lost from one circuit: `released` only with the service brake off, `applied` only with it on. */
  v.strictObject({
    kind: v.literal('leak'),
    circuit,
    when: v.picklist(['always', 'released', 'applied'], 'must be always, released or applied'),
    /** First minute's drop on this circuit's gauge: near 120 psi; for `applied` with 30 psi at the pedal. */
    psiPerMinute: between(0.1, 60, 'psi a minute'),
  }),
  /** `remaining`: share of the delivery that is left. */
  v.strictObject({ kind: v.literal('worn-compressor'), remaining: share }),
  /** Set too high, too low, or with the two pressures too near each other. */
  v.strictObject({
    kind: v.literal('governor'),
    cutOutPsi: between(60, 145, 'psi'),
    cutInPsi: between(50, 140, 'psi'),
  }),
  v.strictObject({ kind: v.literal('dead-low-air-switch'), circuit: switches }),
  v.strictObject({
    kind: v.literal('late-low-air-switch'),
    circuit: switches,
    closesAtPsi: between(1, 99, 'psi'),
  }),
  /** `popsAtPsi` 0: it never pops out by itself. */
  v.strictObject({ kind: v.literal('sticking-parking-valve'), popsAtPsi: between(0, 80, 'psi') }),
  /** `seconds`: time constant of the needle. */
  v.strictObject({ kind: v.literal('lagging-gauge'), circuit, seconds: between(3, 300, 'seconds') }),
  v.strictObject({ kind: v.literal('high-gauge'), circuit, percent: between(1, 50, 'per cent') }),
  /** `remaining`: share of the spring brakes' hold that is left. */
  v.strictObject({ kind: v.literal('weak-hold'), remaining: share }),
] as const;

const KINDS = FAULTS.map((schema) => schema.entries.kind.literal).join(', ');

/** A fault that can be put into a rig's air system, as it stands in JSON. */
export const faultSchema = v.variant('kind', FAULTS, `must be a fault whose kind is one of ${KINDS}`);

export type Fault = v.InferOutput<typeof faultSchema>;

/** The parts of the rig that a fault changes; two faults that share one cannot be told apart and are refused together. */
export function faultParts(fault: Fault): readonly string[] {
  switch (fault.kind) {
    case 'leak':
      return fault.when === 'always'
        ? [`${fault.circuit} leak, released`, `${fault.circuit} leak, applied`]
        : [`${fault.circuit} leak, ${fault.when}`];
    case 'dead-low-air-switch':
    case 'late-low-air-switch':
      return switchCircuits(fault).map((one) => `${one} low-air switch`);
    case 'lagging-gauge':
    case 'high-gauge':
      return [`${fault.circuit} gauge`];
    case 'worn-compressor':
      return ['compressor'];
    case 'governor':
      return ['governor'];
    case 'sticking-parking-valve':
      return ['parking valve'];
    case 'weak-hold':
      return ['spring brakes'];
  }
}

/** The circuits whose low-air switch a fault changes. */
export function switchCircuits(
  fault: Extract<Fault, { kind: 'dead-low-air-switch' | 'late-low-air-switch' }>,
): Circuit[] {
  return fault.circuit === 'both' ? ['primary', 'secondary'] : [fault.circuit];
}
