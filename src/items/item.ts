import type { FigureName, FigureUnit, Source } from '../judging/result.ts';

/** `out-of-service`: the rig does not go out; `report`: it is written down for whoever repairs. */
export const DEFECT_CLASSES = ['out-of-service', 'report'] as const;
export type DefectClass = (typeof DEFECT_CLASSES)[number];

/** How sources are named in a list of items; its own `sources` say what each id stands for. */
export type Sources = Readonly<Record<string, Source>>;

/** One way in which an item may be bad. */
export interface BadWay {
  /** Unique in its item, and none of `RESERVED_STATES`. */
  readonly id: string;
  /** How it is said after the item's name; the first is shown. */
  readonly words: readonly string[];
  readonly class: DefectClass;
  /** Where the class comes from; an id of the step's sources. */
  readonly source: string;
}

/** A value that is said of an item: "left front tread four thirty seconds". Whole numbers only. */
interface ItemMeasure {
  readonly what: string;
  readonly unit: FigureUnit;
  /** The unit as it is said after the number; without it a number is not taken. */
  readonly said: readonly string[];
  /** The greatest value that can be; one above it is refused. */
  readonly max: number;
  /** A value below this is asked about, whatever is said of the item besides. */
  readonly min?: number;
  readonly limits: readonly { readonly below: number; readonly class: DefectClass; readonly source: string }[];
  /** The figure that its trend is kept under. */
  readonly figure?: Extract<FigureName, 'frontTread' | 'rearTread'>;
}

/** One thing to look at. */
export interface Item {
  /** Kebab-case, unique in the plan. */
  readonly id: string;
  readonly title: string;
  /** What it is called; the first is shown. No name is in two items of a plan. */
  readonly names: readonly string[];
  /** What to look for. */
  readonly look: string;
  /** How it is said to be as it must, besides “good”. */
  readonly good: readonly string[];
  readonly bad: readonly BadWay[];
  readonly measure?: ItemMeasure;
  /** What one of several is called, “headlight”: “left headlight broken”. Never good, since one does not stand for all. */
  readonly single?: readonly string[];
  /** There are rigs without it: “not fitted” is an answer. */
  readonly mayLack?: true;
}

/** One breath for several items: "all lights working". */
export interface ItemGroup {
  readonly names: readonly string[];
  readonly words: readonly string[];
  /** The items that are all good then. */
  readonly items: readonly string[];
}

/** A place of the walk with what is looked at there; a plan's step of the kind `items` is one. */
export interface ItemPlace {
  readonly id: string;
  readonly title: string;
  /** What "back to …" calls it. */
  readonly names: readonly string[];
  readonly items: readonly Item[];
  readonly groups?: readonly ItemGroup[];
  readonly sources: Sources;
}

/** Words of a state that every item has; no way of being bad may have one of these ids. */
export const RESERVED_STATES = [
  'good',
  'value',
  'repaired',
  'skipped',
  'absent',
  'defective',
  'one-defective',
] as const;

/** What is said of a part that is not as it must, whatever it is. Everyday words; common practice, no source. */
export const GENERAL_BAD = [
  ...['defective', 'bad', 'broken', 'cracked', 'missing', 'loose', 'leaking', 'damaged', 'worn', 'out', 'dead', 'dim'],
  ...['low', 'empty', 'stuck', 'inoperative', 'not working', 'does not work', 'do not work', 'not good', 'has a crack'],
  ...['stays on', 'stay on'],
] as const;

/** The same of one of several: "tail lights one out". */
const ONE_BAD = ['one defective', 'one out', 'one broken', 'one dead', 'one dim', 'one cracked', 'one not working'];

/** An ear that lacks them drops them and hears the good word that they deny: "hardly inflated". */
const DENIALS = ['not', 'hardly', 'barely'] as const;

/** True for words that “not” may stand before: “not tight”, but not “not works”. */
function isState(words: string): boolean {
  return !/^(no|none)\b|\b(works?|holds|return)$/.test(words);
}

/**
 * The ways of an item with those that every item has: general words that are none of its own, "broken", are in the worst class of its own
 * ways; where there are several of it, those of one alone are in the class of its first way.
 */
export function waysOf({ bad, good = [], single }: Pick<Item, 'bad'> & Partial<Item>): readonly BadWay[] {
  const worst = bad.find((way) => way.class === 'out-of-service') ?? bad[0];
  const [first] = bad;
  if (worst === undefined || first === undefined) return [];
  const own = new Set([...good, ...bad.flatMap(({ words }) => words)]);
  const others = (words: readonly string[]): string[] => words.filter((each) => !own.has(each));
  const general = others([
    ...GENERAL_BAD,
    ...good.flatMap((words) => (isState(words) ? DENIALS.map((denial) => `${denial} ${words}`) : [])),
  ]);
  const one = single === undefined ? [] : others(ONE_BAD);
  return [
    ...bad,
    ...(general.length === 0 ? [] : [{ id: 'defective', words: general, class: worst.class, source: worst.source }]),
    ...(one.length === 0 ? [] : [{ id: 'one-defective', words: one, class: first.class, source: first.source }]),
  ];
}
