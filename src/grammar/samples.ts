import type { Meaning } from './meaning.ts';
import { findRule, select } from './select.ts';
import type { Active } from './select.ts';
import type { Expansion, Grammar, Selection } from './syntax.ts';
import { meaningOf } from './tags.ts';
import type { Op } from './tags.ts';

/** A phrase of the grammar, with the tags passed on the way through it. */
export interface Sample {
  readonly text: string;
  readonly ops: readonly Op[];
}

interface Piece {
  readonly words: readonly string[];
  readonly ops: readonly Op[];
}

const NOTHING: Piece = { words: [], ops: [] };

/**
 * Every phrase of a selection, in the order of the files; what may be repeated is said at most `repeats` times.
 * The number of phrases grows fast with what is selected: meant for numbers, cues and commands, not for whole readings.
 */
export function* samples(grammar: Grammar, selection: Selection, repeats: number): Generator<Sample> {
  const active = select(grammar, selection);
  for (const piece of phrases(active.expansion, active, repeats)) yield { text: piece.words.join(' '), ops: piece.ops };
}

/** One phrase of a selection; `random` gives numbers from 0 up to, not including, 1. Repeats stop with chance one half. */
export function randomSample(grammar: Grammar, selection: Selection, random: () => number): Sample {
  const active = select(grammar, selection);
  const piece = draw(active.expansion, active, random);
  return { text: piece.words.join(' '), ops: piece.ops };
}

/**
 * Short things that one can say under a rule, for the screen: its `@example`s first, then its first phrases, each of
 * another wording than those before. At most `count`.
 */
export function hints(grammar: Grammar, rule: string, count: number): readonly string[] {
  const found = new Set(findRule(grammar, rule).examples.slice(0, count));
  const selection: Selection = { rules: [rule], unit: 'psi' };
  if (found.size > 0) return [...found];
  for (const { text } of samples(grammar, selection, 1)) {
    if (found.size >= count) break;
    found.add(text);
  }
  return [...found];
}

/** What a sample means. */
export function sampleMeaning(sample: Sample): Meaning {
  return meaningOf(sample.ops);
}

function* phrases(node: Expansion, active: Active, repeats: number): Generator<Piece> {
  switch (node.kind) {
    case 'word':
      yield { words: [node.word], ops: [] };
      return;
    case 'rule':
      yield* phrases(ruleOf(active, node.name), active, repeats);
      return;
    case 'sequence':
      yield* chain(node.items, active, repeats);
      return;
    case 'choice':
      for (const { item } of node.items) yield* phrases(item, active, repeats);
      return;
    case 'optional':
      yield NOTHING;
      yield* phrases(node.item, active, repeats);
      return;
    case 'repeat':
      for (let times = node.atLeastOnce ? 1 : 0; times <= repeats; times++)
        yield* chain(Array<Expansion>(times).fill(node.item), active, repeats);
      return;
    case 'tagged':
      for (const piece of phrases(node.item, active, repeats))
        yield { words: piece.words, ops: [...piece.ops, node.op] };
      return;
    case 'null':
      yield NOTHING;
      return;
    case 'void':
      return;
  }
}

function* chain(items: readonly Expansion[], active: Active, repeats: number): Generator<Piece> {
  const [first, ...rest] = items;
  if (first === undefined) {
    yield NOTHING;
    return;
  }
  for (const head of phrases(first, active, repeats))
    for (const tail of chain(rest, active, repeats)) yield join(head, tail);
}

function draw(node: Expansion, active: Active, random: () => number): Piece {
  switch (node.kind) {
    case 'word':
      return { words: [node.word], ops: [] };
    case 'rule':
      return draw(ruleOf(active, node.name), active, random);
    case 'sequence':
      return node.items.map((item) => draw(item, active, random)).reduce(join, NOTHING);
    case 'choice': {
      const chosen = node.items[Math.floor(random() * node.items.length)];
      return chosen === undefined ? NOTHING : draw(chosen.item, active, random);
    }
    case 'optional':
      return random() < 0.5 ? NOTHING : draw(node.item, active, random);
    case 'repeat': {
      let piece = node.atLeastOnce ? draw(node.item, active, random) : NOTHING;
      while (random() < 0.5) piece = join(piece, draw(node.item, active, random));
      return piece;
    }
    case 'tagged': {
      const piece = draw(node.item, active, random);
      return { words: piece.words, ops: [...piece.ops, node.op] };
    }
    case 'null':
    case 'void':
      return NOTHING;
  }
}

function ruleOf(active: Active, name: string): Expansion {
  const expansion = active.rules.get(name);
  if (expansion === undefined) throw new Error(`inactive rule ${name}`);
  return expansion;
}

function join(first: Piece, second: Piece): Piece {
  return { words: [...first.words, ...second.words], ops: [...first.ops, ...second.ops] };
}
