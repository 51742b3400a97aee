import type { SpokenCheck } from './spoken-check.ts';

/** What is looked for. */
export type OddityKind =
  | 'whole-steps'
  | 'digits'
  | 'same-needles'
  | 'same-pauses'
  | 'even-holds'
  | 'same-sound'
  | 'no-speech'
  | 'no-engine';

/** The checks of one operator on one rig, oldest first. */
export interface Group {
  readonly rigName: string;
  readonly operator: string;
  readonly checks: readonly SpokenCheck[];
}

/** The answer to one question about one group. */
export interface Finding {
  readonly kind: OddityKind;
  /** What was counted, in one plain clause. */
  readonly what: string;
  /** What honest checks give, in one plain clause. */
  readonly expected: string;
  /** How likely honest checks give as much or more, for this question alone. Where it rests on an assumption, the assumption leans to the honest side. */
  readonly chance: number;
}

/** A question cannot always be asked: too few checks, or a dial that gives the answer away. */
export type Answer = Finding | { readonly kind: OddityKind; readonly notAsked: string };

export function notAsked(kind: OddityKind, why: string): Answer {
  return { kind, notAsked: why };
}

/** Fewer say nothing of a habit. */
export const LEAST_CHECKS = 5;
