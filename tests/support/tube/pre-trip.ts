import { builtInPlans } from '../../../src/check/built-in-plans.ts';
import { replay } from '../../../src/check/machine.ts';
import type { Plan } from '../../../src/check/plan.ts';
import { placesOf } from '../../../src/check/places.ts';
import { view } from '../../../src/check/view.ts';
import { cueIds } from '../../../src/grammar/select.ts';
import type { ItemResult } from '../../../src/judging/result.ts';
import { loadGrammar } from '../grammar.ts';
import { WHOLE_CHECK } from './bench-rigs.ts';
import { WAITS } from './operator.ts';
import type { TubeOptions, TubeRun } from './tube.ts';

const PLANS = builtInPlans(new Set(cueIds(loadGrammar())));

/** A walk with what is wrong on the rig. */
export interface SeededWalk extends Pick<TubeOptions, 'voice'> {
  /** By item id: what is said of it after its name, and the class that it must have. */
  readonly defects: Readonly<Record<string, { readonly words: string; readonly class: ItemResult['class'] }>>;
}

const OUT = 'out-of-service';

/**
 * Six defects each. Classes: a tread below 4/32 in front, loose or missing wheel nuts, a cut seat belt, a compressor belt that slips, a
 * leaf that is missing and a cracked frame are out of service; the rest is reported. 49 CFR 393.75(b), part 396 appendix A (seen), nuts and
 * belts from memory; more than three emergency lights out from one department's procedure (seen).
 */
export const SEEDED: readonly SeededWalk[] = [
  {
    voice: 'rms',
    defects: {
      belts: { words: 'frayed', class: 'report' },
      'air-lines': { words: 'leaking air', class: 'report' },
      'seat-belts': { words: 'cut', class: OUT },
      'left-front-tire': { words: 'three thirty seconds', class: OUT },
      'right-rear-nuts': { words: 'nut missing', class: OUT },
      'left-signal': { words: 'out', class: 'report' },
    },
  },
  {
    voice: 'kal16',
    defects: {
      oil: { words: 'low', class: 'report' },
      'compressor-belt': { words: 'slipping', class: OUT },
      triangles: { words: 'missing', class: 'report' },
      frame: { words: 'cracked', class: OUT },
      'rear-springs': { words: 'leaf missing', class: OUT },
      'warning-lights': { words: 'four out', class: OUT },
    },
  },
];

/** The built-in plan of this id. */
export function planOf(id: string): Plan {
  const plan = PLANS.find((each) => each.id === id);
  if (plan === undefined) throw new Error(`there is no plan ${id}`);
  return plan;
}

/** A walk by voice, answered in writing. */
export function walkBy({ voice, defects }: SeededWalk, plan: Plan): TubeOptions {
  const bad = Object.fromEntries(Object.entries(defects).map(([item, { words }]) => [item, words]));
  const walk = { bad, breath: 2, tread: 'nine thirty seconds' };
  return { ...WHOLE_CHECK, voice, plan, pace: { ...WAITS, walk }, longest: 60 * 60_000 };
}

/** Every item of a run with what the log says of it. */
export function itemsOf(run: TubeRun): readonly ItemResult[] {
  return view(replay(run.events)).results.flatMap(({ result }) => result.items ?? []);
}

/** Items of which the log says otherwise than the rig is, in words. */
export function misjudged(run: TubeRun, { defects }: SeededWalk): string[] {
  const found = itemsOf(run);
  const ids = placesOf(run.start.plan).flatMap(({ items }) => items.map(({ id }) => id));
  return ids.flatMap((id) => {
    const item = found.find((each) => each.id === id);
    const must = defects[id]?.class;
    const is = item?.state === 'bad' ? item.class : item?.state;
    return is === (must ?? 'good') ? [] : [`${id}: ${is ?? 'not in the log'}, must be ${must ?? 'good'}`];
  });
}
