import { bad, type Outcome } from '../units/outcome.ts';
import type { Plan } from './plan.ts';

/**
 * A plan from parsed JSON. `where` names the file in problems; `knownCues` are the cue ids of the grammar.
 * An invalid plan is refused with its JSON path and the reason.
 */
export function readPlan(json: unknown, where: string, knownCues: ReadonlySet<string>): Outcome<Plan> {
  return bad(`not yet: ${typeof json} ${String(knownCues.size)}`, where);
}
