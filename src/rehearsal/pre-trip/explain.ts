import type { CalloutRecord } from '../../check/state.ts';
import type { Meaning, SpokenItem } from '../../grammar/meaning.ts';
import { waysOf, type DefectClass, type Item, type ItemPlace } from '../../items/item.ts';
import { ITEMS_RULE, placeRule } from '../../items/items-grammar.ts';
import { belowLimit } from '../../items/said.ts';

/** What was pointed at, and into which class a defect was put. The last word on an item stands. */
export interface Explained {
  readonly spot?: string;
  readonly class?: DefectClass;
}

/** By item id. */
export type Explanations = Readonly<Record<string, Explained>>;

/** The rule of `grammars/classes.jsgf` that says a class alone, and the file that puts it behind what is said of items. */
export const CLASS_RULE = 'classes';
export const EXPLAIN_FILE = 'explain.jsgf';
const CUES: Readonly<Record<string, DefectClass>> = { 'class-out': 'out-of-service', 'class-report': 'report' };

/** "Belts frayed, report it": what is said at a place, and its class, in one breath. Read together with the items' own grammar. */
export function explainGrammar(places: readonly ItemPlace[]): string {
  const rules = [...places.map(({ id }) => placeRule(id)), ITEMS_RULE];
  return `${[
    '#JSGF V1.0 UTF-8 en;',
    'grammar explain;',
    'import <items.*>;',
    'import <classes.*>;',
    ...rules.map((rule) => `public <${explainRule(rule)}> = <${rule}> [<${CLASS_RULE}>];`),
  ].join('\n')}\n`;
}

function explainRule(rule: string): string {
  return `explained-${rule}`;
}

/** The rules that a place listens for, each of its own with a class behind it, and a class alone. */
export function withClasses(rules: readonly string[]): readonly string[] {
  const isOfItems = (rule: string): boolean => rule === ITEMS_RULE || rule.startsWith(placeRule(''));
  return rules.length === 0
    ? rules
    : [...rules.map((rule) => (isOfItems(rule) ? explainRule(rule) : rule)), CLASS_RULE];
}

/** A meaning without the class, and the class. */
export function takeClass(meaning: Meaning): { readonly meaning: Meaning; readonly class?: DefectClass } {
  const cue = meaning.cues.find((each) => CUES[each] !== undefined);
  if (cue === undefined) return { meaning };
  const cues = meaning.cues.filter((each) => CUES[each] === undefined);
  const found = CUES[cue];
  return { meaning: { ...meaning, cues }, ...(found === undefined ? {} : { class: found }) };
}

/** True when these words make the item bad. */
function isCalledBad(item: Item, { state, value }: SpokenItem): boolean {
  return value === undefined ? waysOf(item).some(({ id }) => id === state) : belowLimit(item, value) !== undefined;
}

/** The items that a class said now is of: those called bad in the same breath, else in the last breath that called any bad. */
export function classIsOf(
  items: readonly Item[],
  now: readonly SpokenItem[],
  callouts: readonly Pick<CalloutRecord, 'meaning' | 'taken'>[],
): readonly string[] {
  const badIn = (spoken: readonly SpokenItem[]): string[] =>
    spoken
      .filter((each) => items.some((item) => item.id === each.item && isCalledBad(item, each)))
      .map(({ item }) => item);
  const here = badIn(now);
  if (here.length > 0) return here;
  const last = callouts.findLast(({ meaning, taken }) => taken && badIn(meaning?.items ?? []).length > 0);
  return badIn(last?.meaning?.items ?? []);
}

/** Explanations with one more. */
export function explain(explained: Explanations, item: string, what: Explained): Explanations {
  return { ...explained, [item]: { ...explained[item], ...what } };
}
