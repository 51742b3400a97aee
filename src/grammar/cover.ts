import type { Active } from './select.ts';
import { partsOf } from './syntax.ts';
import type { Expansion } from './syntax.ts';

/** How phrases of an expansion begin and end. Phrases are words parted by a space. */
interface Edges {
  /** A short phrase; empty when nothing need be said. */
  readonly short: string;
  readonly canBeEmpty: boolean;
  /** For each word that can be first, a phrase that begins with it. */
  readonly first: ReadonlyMap<string, string>;
  /** For each word that can be last, a phrase that ends with it. */
  readonly last: ReadonlyMap<string, string>;
}

const BEGIN = '<';
const END = '>';

/** The words that have been put after each word. */
class WordPairs {
  private readonly seconds = new Map<string, Set<string>>();

  after(word: string): Set<string> {
    const known = this.seconds.get(word);
    if (known !== undefined) return known;
    const fresh = new Set<string>();
    this.seconds.set(word, fresh);
    return fresh;
  }
}

const SILENCE: Edges = { short: '', canBeEmpty: true, first: new Map(), last: new Map() };

/**
 * Phrases in which every word pair that any phrase of the selection has comes at least once, and every word that can
 * begin or end a phrase does so. Word pairs within a rule are looked for once, wherever the rule is first used.
 */
export function coverPairs(active: Active): readonly string[] {
  const edges = new Map<string, Edges>();
  const edgesOf = (node: Expansion): Edges => findEdges(node, active, edges);
  const covered = new WordPairs();
  const laid = new Set<string>();
  const phrases: string[] = [];

  const add = (phrase: string): void => {
    phrases.push(phrase);
    let before = BEGIN;
    for (const word of phrase.split(' ')) {
      covered.after(before).add(word);
      before = word;
    }
    covered.after(before).add(END);
  };
  /** Puts each last word of `left` before each first word of `right`. */
  const cross = (left: Edges, right: Edges, before: string, after: string): void => {
    for (const [last, ending] of left.last) {
      const seconds = covered.after(last);
      for (const [first, beginning] of right.first)
        if (!seconds.has(first)) add(joined(joined(before, ending), joined(beginning, after)));
    }
  };
  const visit = (node: Expansion, before: string, after: string): void => {
    switch (node.kind) {
      case 'rule': {
        const expansion = active.rules.get(node.name);
        if (laid.has(node.name) || expansion === undefined) return;
        laid.add(node.name);
        visit(expansion, before, after);
        return;
      }
      case 'sequence': {
        const parts = node.items.map(edgesOf);
        const shorts = (from: number, to: number): string =>
          parts.slice(from, to).reduce((text, part) => joined(text, part.short), '');
        node.items.forEach((item, at) => {
          visit(item, joined(before, shorts(0, at)), joined(shorts(at + 1, parts.length), after));
          for (let next = at + 1; next < parts.length; next++) {
            const [left, right] = [parts[at], parts[next]];
            if (left === undefined || right === undefined) return;
            cross(left, right, joined(before, shorts(0, at)), joined(shorts(next + 1, parts.length), after));
            if (!right.canBeEmpty) break;
          }
        });
        return;
      }
      case 'repeat':
        visit(node.item, before, after);
        cross(edgesOf(node.item), edgesOf(node.item), before, after);
        return;
      case 'choice':
      case 'optional':
      case 'tagged':
      case 'word':
      case 'null':
      case 'void':
        for (const part of partsOf(node)) visit(part, before, after);
        return;
    }
  };
  visit(active.expansion, '', '');
  const whole = edgesOf(active.expansion);
  for (const [word, phrase] of whole.first) if (!covered.after(BEGIN).has(word)) add(phrase);
  for (const [word, phrase] of whole.last) if (!covered.after(word).has(END)) add(phrase);
  return phrases;
}

function findEdges(node: Expansion, active: Active, known: Map<string, Edges>): Edges {
  const inner = (item: Expansion): Edges => findEdges(item, active, known);
  switch (node.kind) {
    case 'word': {
      const alone = new Map([[node.word, node.word]]);
      return { short: node.word, canBeEmpty: false, first: alone, last: alone };
    }
    case 'rule': {
      const before = known.get(node.name);
      if (before !== undefined) return before;
      const expansion = active.rules.get(node.name);
      const edges = expansion === undefined ? SILENCE : inner(expansion);
      known.set(node.name, edges);
      return edges;
    }
    case 'sequence':
      return node.items.map(inner).reduce(inSequence, SILENCE);
    case 'choice': {
      const parts = node.items.map((each) => inner(each.item));
      return {
        short: parts[0]?.short ?? '',
        canBeEmpty: parts.some((part) => part.canBeEmpty),
        first: union(parts.map((part) => part.first)),
        last: union(parts.map((part) => part.last)),
      };
    }
    case 'optional':
      return { ...inner(node.item), short: '', canBeEmpty: true };
    case 'repeat':
      return node.atLeastOnce ? inner(node.item) : { ...inner(node.item), short: '', canBeEmpty: true };
    case 'tagged':
      return inner(node.item);
    case 'null':
    case 'void':
      return SILENCE;
  }
}

function inSequence(left: Edges, right: Edges): Edges {
  const first = extended(left.first, '', right.short);
  const last = extended(right.last, left.short, '');
  return {
    short: joined(left.short, right.short),
    canBeEmpty: left.canBeEmpty && right.canBeEmpty,
    first: left.canBeEmpty ? union([first, right.first]) : first,
    last: right.canBeEmpty ? union([last, left.last]) : last,
  };
}

function extended(phrases: ReadonlyMap<string, string>, before: string, after: string): ReadonlyMap<string, string> {
  if (before === '' && after === '') return phrases;
  const longer = new Map<string, string>();
  for (const [word, phrase] of phrases) longer.set(word, joined(joined(before, phrase), after));
  return longer;
}

function joined(left: string, right: string): string {
  return left === '' ? right : right === '' ? left : `${left} ${right}`;
}

/** The first phrase found for each word. */
function union(maps: readonly ReadonlyMap<string, string>[]): ReadonlyMap<string, string> {
  const all = new Map<string, string>();
  for (const map of maps) for (const [word, phrase] of map) if (!all.has(word)) all.set(word, phrase);
  return all;
}
