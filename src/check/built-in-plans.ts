import cab from '../items/lists/cab.json';
import engineCompartment from '../items/lists/engine-compartment.json';
import front from '../items/lists/front.json';
import leftSide from '../items/lists/left-side.json';
import lights from '../items/lists/lights.json';
import rear from '../items/lists/rear.json';
import rightSide from '../items/lists/right-side.json';
import weeklyFluids from '../items/lists/weekly-fluids.json';
import weeklyPump from '../items/lists/weekly-pump.json';
import weeklyTires from '../items/lists/weekly-tires.json';
import type { Plan } from './plan.ts';
import combination from './plans/combination.json';
import fullCabCheck from './plans/full-cab-check.json';
import fullCabCheckAtGovernedSpeed from './plans/full-cab-check-at-governed-speed.json';
import fullCabCheckAtIdle from './plans/full-cab-check-at-idle.json';
import morningCheck from './plans/morning-check.json';
import { readPlan } from './read-plan.ts';
import { problemLine } from '../units/outcome.ts';

const AROUND = [leftSide, front, rightSide, rear, lights];

/** Plans made of the lists of items in `src/items/lists/`, each list a place of the walk. */
const WALKS = [
  walk('whole-pre-trip', 'Whole pre-trip', [engineCompartment, cab, ...AROUND, ...fullCabCheck.steps]),
  walk('engine-compartment', 'Engine compartment', [engineCompartment]),
  walk('cab', 'Cab', [cab]),
  walk('walk-round', 'Walk-round', AROUND),
  walk('weekly', 'Weekly check', [weeklyFluids, weeklyTires, weeklyPump]),
];

function walk(id: string, title: string, steps: readonly object[]) {
  return { format: 'two-needles-plan', version: 1, id, title, steps };
}

/** The plans that come with the app, the default first. `knownCues` are the cue ids of the grammar that comes with it. */
export function builtInPlans(knownCues: ReadonlySet<string>): readonly Plan[] {
  const plans = [fullCabCheck, morningCheck, combination, fullCabCheckAtIdle, fullCabCheckAtGovernedSpeed, ...WALKS];
  return plans.map((json) => {
    const read = readPlan(json, `built-in plan ${json.id}`, knownCues);
    if (!read.ok) throw new Error(problemLine(read.problem));
    return read.value;
  });
}
