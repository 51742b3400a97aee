import type { OpenDefect } from '../../items/open-defect.ts';
import type { Plan } from '../../check/plan.ts';
import type { StartEvent } from '../../check/event.ts';
import type { Library } from '../library/library.ts';
import type { StartChoice } from '../start/start-model.ts';

/** The start of a check as it was chosen; `wall` is ISO 8601. The first plan or profile where the chosen one is gone. */
export function startEventOf(
  { plans, profiles }: Library,
  { planId, profileId, rig, operator, examination, review }: StartChoice,
  wall: string,
  countAloud: boolean,
  openDefects: readonly OpenDefect[],
): StartEvent | undefined {
  const plan = plans.all.find(({ id }) => id === planId) ?? plans.all[0];
  const profile = profiles.all.find(({ id }) => id === profileId) ?? profiles.all[0];
  if (plan === undefined || profile === undefined) return undefined;
  return {
    type: 'start',
    at: 0,
    wall,
    plan,
    profile,
    rig,
    operator,
    // Nobody answers in an examination: what would be asked about is taken, and said to be unconfirmed.
    asking: examination === true ? 'assume' : 'ask',
    // Only a walk asks about items, and only about those that it has.
    ...openIn(plan, openDefects),
    ...(review === undefined ? {} : { review }),
    settings: examination === true ? { examination } : liveSettings(countAloud),
  };
}

/** How a check is done whose operator can be asked. */
export function liveSettings(countAloud: boolean): NonNullable<StartEvent['settings']> {
  return { countAloud, stillAfterFail: true, asksWhose: true };
}

function openIn({ steps }: Plan, all: readonly OpenDefect[]): Pick<StartEvent, 'openDefects'> {
  const items = new Set(steps.flatMap((step) => step.items ?? []).map(({ id }) => id));
  const openDefects = all.filter(({ item }) => items.has(item));
  return openDefects.length === 0 ? {} : { openDefects };
}
