import type { ItemPlace } from '../items/item.ts';
import { judgeItems } from '../items/judge-items.ts';
import { leftIn } from '../items/said.ts';
import { unclearAt } from '../items/unclear.ts';
import type { StepResult } from '../judging/result.ts';
import type { Plan, Step } from './plan.ts';
import type { CheckState } from './state.ts';

/** The place that a step of the kind `items` is; undefined for the other kinds. */
export function placeOf(step: Step | undefined): ItemPlace | undefined {
  if (step?.kind !== 'items') return undefined;
  const { id, title, names = [], items = [], groups, sources = {} } = step;
  return { id, title, names, items, ...(groups === undefined ? {} : { groups }), sources };
}

/** The places of a plan in the order of the walk. */
export function placesOf({ steps }: Pick<Plan, 'steps'>): readonly ItemPlace[] {
  return steps.flatMap((step) => placeOf(step) ?? []);
}

/** The result of a place on all that was said so far. */
export function judgePlace({ items = {}, start, callouts }: CheckState, place: ItemPlace): StepResult {
  const { openDefects, operator, plan } = start;
  return judgeItems(place, items, {
    operator,
    unclear: unclearAt(place, callouts, start.asking === 'ask'),
    ...(openDefects === undefined ? {} : { open: openDefects }),
    ...(plan.closedByAnother === undefined ? {} : { closedByAnother: true }),
  });
}

/** True when every item of the place has an answer, and every open defect of it too. */
export function isPlaceDone(state: CheckState, place: ItemPlace): boolean {
  if (leftIn(place, state.items ?? {}).length > 0) return false;
  return judgePlace(state, place).items?.every(({ state: is }) => is !== 'not judged') === true;
}

/** The items of a place as judged; one called good of which something else was said and not understood is open. */
export function itemsInDoubt(
  { callouts, start }: CheckState,
  place: ItemPlace,
  { items = [] }: StepResult,
): NonNullable<StepResult['items']> {
  const unclear = unclearAt(place, callouts, start.asking === 'ask').items;
  return items.map((item) =>
    item.state === 'good' && (unclear[item.id] ?? []).length > 0 ? { ...item, state: 'not judged' } : item,
  );
}
