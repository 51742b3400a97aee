import type { Ms } from '../units/time.ts';
import type { Sample } from './trace.ts';

/**
 * What a coach can find. `wrong-reading`: needles, or what was felt, called otherwise than they were; `missing`: a callout or a step was left out;
 * `late`: called too long after it happened; `early`: called before it happened; `hold-short`: a hold was cut short;
 * `fanned-too-fast`: the pedal was pumped too fast to read the needles; `caution`: a caution was skipped; `not-done`: said, but not done,
 * or not kept up; `fault-not-called`: a fault showed, and no step was failed because of it. Of a pre-trip: `false-alarm`: an item was called
 * bad that is not; `wrong-class`: its class was told wrongly, or not at all; `wrong-name`: bad, but in another way; `wrong-spot`: pointed at
 * elsewhere, or nowhere.
 */
export type FindingKind =
  | 'wrong-reading'
  | 'missing'
  | 'late'
  | 'early'
  | 'out-of-order'
  | 'hold-short'
  | 'fanned-too-fast'
  | 'caution'
  | 'not-done'
  | 'fault-not-called'
  | 'false-alarm'
  | 'wrong-class'
  | 'wrong-name'
  | 'wrong-spot';

/** One thing to learn from a rehearsal. */
export interface Finding {
  readonly kind: FindingKind;
  /** Id of the step it belongs to. */
  readonly step: string;
  /** The moment on the clock of the rehearsal. */
  readonly at: Ms;
  /** One sentence, with the numbers. */
  readonly what: string;
  /** The needles around that moment, ten a second. */
  readonly curve: readonly Sample[];
}

/**
 * Points out of a step's 100 that a finding costs. Ours, no source: what could hurt somebody or hide a fault costs half the step, a wrong
 * measurement a third, and what only needs polish a sixth.
 */
export const COSTS: Readonly<Record<FindingKind, number>> = {
  caution: 50,
  'not-done': 50,
  'fault-not-called': 50,
  'wrong-reading': 33,
  missing: 33,
  early: 33,
  'hold-short': 33,
  'false-alarm': 33,
  'wrong-class': 33,
  'wrong-name': 16,
  'wrong-spot': 16,
  late: 16,
  'out-of-order': 16,
  'fanned-too-fast': 16,
};
