import type { Plan } from './plan.ts';
import combination from './plans/combination.json';
import fullCabCheck from './plans/full-cab-check.json';
import fullCabCheckAtGovernedSpeed from './plans/full-cab-check-at-governed-speed.json';
import fullCabCheckAtIdle from './plans/full-cab-check-at-idle.json';
import morningCheck from './plans/morning-check.json';
import { readPlan } from './read-plan.ts';
import { problemLine } from '../units/outcome.ts';

/** The plans that come with the app, the default first. `knownCues` are the cue ids of the grammar that comes with it. */
export function builtInPlans(knownCues: ReadonlySet<string>): readonly Plan[] {
  return [fullCabCheck, morningCheck, combination, fullCabCheckAtIdle, fullCabCheckAtGovernedSpeed].map((json) => {
    const read = readPlan(json, `built-in plan ${json.id}`, knownCues);
    if (!read.ok) throw new Error(problemLine(read.problem));
    return read.value;
  });
}
