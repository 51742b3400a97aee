import type { PublicKey } from '../record/log.ts';
import type { Problem } from '../units/outcome.ts';
import type { Retention } from './retention.ts';

/** What a reader of a shelf has to be told. */
export type Finding =
  | { readonly kind: 'kept'; readonly what: 'check' | 'note' | 'clip'; readonly name: string }
  /** It does not verify, and is not kept. */
  | { readonly kind: 'wrong'; readonly name: string; readonly why: string }
  /** A head that verifies says that there is a check, and the shelf does not have it. `here`: the desk has. */
  | {
      readonly kind: 'missing';
      readonly name: string;
      readonly device: PublicKey;
      readonly number: number;
      /** ISO 8601, of its seal. */
      readonly wall: string;
      readonly here: boolean;
    }
  /** The same, of a day of which somebody known has said that it is deleted. */
  | { readonly kind: 'retired'; readonly name: string; readonly by: Retention }
  /** The desk has the head, and the shelf has it no more. */
  | { readonly kind: 'head-gone'; readonly name: string }
  /** Numbers of a device of which there is neither head nor check, though there are later ones. */
  | {
      readonly kind: 'gap';
      readonly device: PublicKey;
      readonly missing: readonly (readonly [from: number, to: number])[];
    }
  /** A remark or countersignature that verifies, and is not in the log of its check: another line is longer, or the check is not here. */
  | { readonly kind: 'beside'; readonly name: string }
  /** A check without its head, which was not put yet, or was taken away. The check itself is whole. */
  | { readonly kind: 'headless'; readonly name: string }
  /** Two checks of one number, or one that follows another than it should. */
  | { readonly kind: 'contradiction'; readonly device: PublicKey; readonly why: string }
  /** The newest of a device that is seen; what came after it is not. */
  | {
      readonly kind: 'newest';
      readonly station: string;
      readonly device: PublicKey;
      readonly number: number;
      readonly day: string;
    }
  /** Nothing that this program puts there. */
  | { readonly kind: 'stray'; readonly name: string }
  /** The shelf did not answer, or refused: what comes after it was not looked at. */
  | { readonly kind: 'broke-off'; readonly problem: Problem };
