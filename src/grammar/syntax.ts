import type { PressureUnit } from '../units/pressure.ts';
import type { Op } from './tags.ts';

/** A place in a grammar file; line and column count from 1. */
export interface Place {
  readonly file: string;
  readonly line: number;
  readonly column: number;
}

/** One way to say something: the syntax tree of the right-hand side of a rule. */
export type Expansion =
  | { readonly kind: 'word'; readonly word: string }
  | { readonly kind: 'rule'; readonly name: string; readonly place: Place }
  | { readonly kind: 'sequence'; readonly items: readonly Expansion[] }
  | { readonly kind: 'choice'; readonly items: readonly Alternative[] }
  | { readonly kind: 'optional'; readonly item: Expansion }
  | { readonly kind: 'repeat'; readonly item: Expansion; readonly atLeastOnce: boolean }
  | { readonly kind: 'tagged'; readonly item: Expansion; readonly op: Op }
  | { readonly kind: 'null' }
  | { readonly kind: 'void' };

export interface Alternative {
  readonly item: Expansion;
  readonly weight?: number;
}

export interface Rule {
  /** As written between the angle brackets; after linking, with its grammar's name before it: `cues.cut-out`. */
  readonly name: string;
  readonly isPublic: boolean;
  readonly expansion: Expansion;
  /** From `@example` in the documentation comment before the rule. */
  readonly examples: readonly string[];
  readonly place: Place;
}

/** All grammar files, linked: every rule reference names a rule that exists, and no rule reaches itself. */
export interface Grammar {
  /** By full name: `cues.cut-out`. */
  readonly rules: ReadonlyMap<string, Rule>;
  /** How transcripts may write words: written form to spoken words, from the `{written …}` tags. */
  readonly written: ReadonlyMap<string, readonly string[]>;
  /** The text of each file it was read from, by file name. */
  readonly sources: Readonly<Record<string, string>>;
  /** What has been worked out for some rules and a unit. Only ever filled with what can be worked out again. */
  readonly prepared: Map<string, unknown>;
}

/** Which rules are meant, and the unit in which the check is read. */
export interface Selection {
  /** Simple names of public rules (`readings`, `hold`, `cut-out`), or full names (`psi.number`). */
  readonly rules: readonly string[];
  readonly unit: PressureUnit;
}

export const NULL: Expansion = { kind: 'null' };
export const VOID: Expansion = { kind: 'void' };

/** The parts directly in an expansion; those of the rules that it refers to are not among them. */
export function partsOf(node: Expansion): readonly Expansion[] {
  switch (node.kind) {
    case 'sequence':
      return node.items;
    case 'choice':
      return node.items.map((each) => each.item);
    case 'optional':
    case 'repeat':
    case 'tagged':
      return [node.item];
    case 'word':
    case 'rule':
    case 'null':
    case 'void':
      return [];
  }
}

/** `file:line:column`, for a problem's `where`. */
export function placeText(place: Place): string {
  return `${place.file}:${place.line}:${place.column}`;
}
