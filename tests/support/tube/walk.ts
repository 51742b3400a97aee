import type { CheckState } from '../../../src/check/state.ts';
import { placeOf, placesOf } from '../../../src/check/places.ts';
import { currentStep } from '../../../src/check/needs.ts';
import type { Item, ItemPlace } from '../../../src/items/item.ts';
import { badWords, leftIn } from '../../../src/items/said.ts';

/** What an operator sees in a walk, and how it is said. */
export interface Walk {
  /** What is bad, by item id, in the words that are said after its name; everything else is good. */
  readonly bad: Readonly<Record<string, string>>;
  /** How many items are said in one breath. */
  readonly breath: number;
  /** What is said of a tread that is good. */
  readonly tread: string;
}

/** What is said next in the place under way; undefined where the step is no place. */
export function walkWords(belief: CheckState, walk: Walk): string | undefined {
  const step = currentStep(belief);
  const place = placeOf(step);
  if (place === undefined) return undefined;
  const wrong = placesOf(belief.start.plan)
    .flatMap(({ items }) => items)
    .find((item) => isMisheard(item, belief, walk));
  if (wrong !== undefined) return `correction, ${itemWords(wrong, walk)}`;
  const left = leftIn(place, belief.items ?? {});
  const group = wholeGroup(place, left, walk);
  if (group !== undefined) return group;
  if (left.length === 0) return 'next';
  return left
    .slice(0, walk.breath)
    .map((item) => itemWords(item, walk))
    .join(', ');
}

/** The screen shows an item otherwise than it was said. */
function isMisheard(item: Item, { items = {} }: CheckState, walk: Walk): boolean {
  const said = items[item.id];
  if (said === undefined) return false;
  const isBad = badWords(item, said) !== undefined;
  if (isBad !== (walk.bad[item.id] !== undefined)) return true;
  return !isBad && (said.skipped !== undefined || said.absent === true);
}

function wholeGroup({ groups = [] }: ItemPlace, left: readonly Item[], walk: Walk): string | undefined {
  const whole = groups.find(({ items }) =>
    items.every((id) => walk.bad[id] === undefined && left.some((item) => item.id === id)),
  );
  return whole === undefined ? undefined : `${whole.names[0] ?? ''} ${whole.words[0] ?? ''}`;
}

function itemWords({ id, names, good, measure }: Item, { bad, tread }: Walk): string {
  const [name = '', measured = name] = names;
  const how = bad[id] ?? (measure === undefined ? (good[0] ?? 'good') : tread);
  return `${measure !== undefined && how.endsWith('seconds') ? measured : name} ${how}`;
}
