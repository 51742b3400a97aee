import type { Meaning, SpokenReading } from '../grammar/meaning.ts';

/** What was heard in one callout, by whichever ear. */
export interface Said {
  /** Empty when nothing was heard. */
  readonly heard: string;
  /** 0 to 1. */
  readonly confidence: number;
  readonly meaning?: Meaning;
}

/**
 * How a second hearing stands to what was taken: `same` in meaning, whatever the words; `differs`; `unheard` where the second ear
 * heard nothing; `added` where only the second ear heard something.
 */
export type Likeness = 'same' | 'differs' | 'unheard' | 'added';

export function likeness(first: Said | undefined, second: Said | undefined): Likeness {
  if (first === undefined) return 'added';
  if (second === undefined || second.heard === '') return first.heard === '' ? 'same' : 'unheard';
  if (first.meaning === undefined && second.meaning === undefined)
    return first.heard === second.heard ? 'same' : 'differs';
  return first.meaning !== undefined && second.meaning !== undefined && sameMeaning(first.meaning, second.meaning)
    ? 'same'
    : 'differs';
}

function sameMeaning(a: Meaning, b: Meaning): boolean {
  return (
    a.command === b.command &&
    a.reason === b.reason &&
    a.cues.join(' ') === b.cues.join(' ') &&
    sameNeedles(a.reading, b.reading)
  );
}

function sameNeedles(a: SpokenReading = {}, b: SpokenReading = {}): boolean {
  return (['primary', 'secondary'] as const).every(
    (circuit) => a[circuit]?.value === b[circuit]?.value && a[circuit]?.unit === b[circuit]?.unit,
  );
}

/** A callout of one hearing beside that of the other; one of them is absent where the other heard alone. */
export interface Pair<First, Second> {
  readonly first?: First;
  readonly second?: Second;
}

/** What it costs to leave a callout without its like, where two callouts with no word in common cost 1. */
const ALONE = 0.6;

/**
 * Lays two hearings of one check side by side, in order: the cheapest alignment (edit distance, Wagner and Fischer 1974), where
 * callouts cost the less the more they have in common. Times do not count: two recordings rarely begin together.
 */
export function sideBySide<First extends Said, Second extends Said>(
  first: readonly First[],
  second: readonly Second[],
): readonly Pair<First, Second>[] {
  const width = second.length + 1;
  const costs = new Float64Array((first.length + 1) * width);
  const cost = (a: number, b: number): number => costs[a * width + b] ?? Infinity;
  const together = (a: number, b: number): number => cost(a, b) + distance(first[a], second[b]);
  for (let a = 0; a <= first.length; a += 1) {
    for (let b = 0; b <= second.length; b += 1) {
      if (a === 0 && b === 0) continue;
      const alone = Math.min(a === 0 ? Infinity : cost(a - 1, b), b === 0 ? Infinity : cost(a, b - 1)) + ALONE;
      costs[a * width + b] = a === 0 || b === 0 ? alone : Math.min(alone, together(a - 1, b - 1));
    }
  }
  const pairs: Pair<First, Second>[] = [];
  for (let a = first.length, b = second.length; a > 0 || b > 0;) {
    const [left, right] = [first[a - 1], second[b - 1]];
    if (left !== undefined && right !== undefined && cost(a, b) === together(a - 1, b - 1)) {
      pairs.push({ first: left, second: right });
      a -= 1;
      b -= 1;
    } else if (left !== undefined && cost(a, b) === cost(a - 1, b) + ALONE) {
      pairs.push({ first: left });
      a -= 1;
    } else if (right !== undefined) {
      pairs.push({ second: right });
      b -= 1;
    }
  }
  return pairs.reverse();
}

/** 0 for the same meaning, else up to 1 by the share of words that only one of them has. */
function distance(first: Said | undefined, second: Said | undefined): number {
  if (likeness(first, second) === 'same') return 0;
  const [a, b] = [words(first), words(second)];
  const common = [...a].filter((word) => b.has(word)).length;
  const all = new Set([...a, ...b]).size;
  return all === 0 ? 1 : 1 - 0.9 * (common / all);
}

function words(said: Said | undefined): ReadonlySet<string> {
  return new Set((said?.heard ?? '').split(/\s+/).filter(Boolean));
}
