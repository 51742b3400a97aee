import * as v from 'valibot';
import { LONGEST_HOLD } from '../judging/hold.ts';
import { ENGINE_SPEEDS, TESTS } from '../judging/measurement.ts';
import { condition } from '../judging/schema.ts';
import type { Outcome } from '../units/outcome.ts';
import { readBySchema, type Fault } from '../units/read-by-schema.ts';
import { pressureIn } from '../units/pressure.ts';
import { testFault } from './fits-test.ts';
import { ITEM_STEP_MEMBERS, itemsFault } from '../items/read-items.ts';
import { placeOf } from './places.ts';
import { EQUIPMENT, STEP_KINDS, type Plan, type Step } from './plan.ts';

const text = v.pipe(v.string(), v.trim(), v.nonEmpty('is empty'));
const id = v.pipe(v.string(), v.regex(/^[a-z0-9]+(-[a-z0-9]+)*$/, 'is not in lower case letters, digits and hyphens'));
const pressure = v.strictObject({
  value: v.pipe(v.number(), v.minValue(0, 'is below 0')),
  unit: v.picklist(['psi', 'kPa']),
});

const step = v.strictObject({
  id,
  kind: v.picklist(STEP_KINDS),
  title: text,
  brief: text,
  instruction: text,
  caution: v.exactOptional(text),
  test: v.picklist(TESTS),
  cues: v.array(v.string()),
  cuesAfter: v.exactOptional(v.array(v.string())),
  outcomes: v.exactOptional(v.array(v.string())),
  holdSeconds: v.exactOptional(
    v.pipe(v.number(), v.minValue(30, 'is below 30'), v.maxValue(LONGEST_HOLD, `is above ${String(LONGEST_HOLD)}`)),
  ),
  from: v.exactOptional(pressure),
  to: v.exactOptional(pressure),
  engineSpeed: v.exactOptional(v.picklist(ENGINE_SPEEDS)),
  plausible: v.exactOptional(v.strictObject({ min: pressure, max: pressure })),
  onlyIfFitted: v.exactOptional(v.picklist(EQUIPMENT)),
  cueIfFitted: v.exactOptional(v.record(v.string(), v.picklist(EQUIPMENT))),
  conditions: v.exactOptional(v.array(condition)),
  ...ITEM_STEP_MEMBERS,
  startsClock: v.exactOptional(v.string()),
  stopsClock: v.exactOptional(v.string()),
});

const plan = v.strictObject({
  format: v.literal('two-needles-plan'),
  version: v.literal(1),
  id,
  title: text,
  closedByAnother: v.exactOptional(v.literal(true)),
  steps: v.pipe(v.array(step), v.minLength(1, 'is empty: a plan has at least one step')),
});

/**
 * A plan from parsed JSON. `where` names the file in problems; `knownCues` are the cue ids of the grammar.
 * An invalid plan is refused with its JSON path and the reason.
 */
export function readPlan(json: unknown, where: string, knownCues: ReadonlySet<string>): Outcome<Plan> {
  return readBySchema(plan, json, where, { rule: (read) => firstFault(read, knownCues), told: headFault });
}

/** What is no plan at all is said so, whatever else is wrong with it. */
function headFault(path: string, received: string): Fault | undefined {
  if (path === 'format')
    return { path, what: 'This is not a plan of a check.', repair: 'A plan begins with "format": "two-needles-plan".' };
  if (path === 'version')
    return { path, what: `Plans of version ${received} cannot be read here.`, repair: 'Use version 1.' };
  return undefined;
}

function firstFault({ steps }: Plan, knownCues: ReadonlySet<string>): Fault | undefined {
  for (const [index, each] of steps.entries()) {
    const path = `steps[${String(index)}]`;
    if (steps.findIndex((other) => other.id === each.id) < index) {
      return {
        path: `${path}.id`,
        what: `Two steps have the id “${each.id}”.`,
        repair: 'Give each step an id of its own.',
      };
    }
    const fault = cueFault(each, path, knownCues) ?? kindFault(each, path) ?? testFault(each, path);
    if (fault !== undefined) return fault;
  }
  const walked = steps.flatMap((each, index) => {
    const place = placeOf(each);
    return place === undefined ? [] : [{ place, path: `steps[${String(index)}]` }];
  });
  return (
    itemsFault(
      walked.map(({ place }) => place),
      walked.map(({ path }) => path),
    ) ?? clockFault(steps)
  );
}

function cueFault(each: Step, path: string, knownCues: ReadonlySet<string>): Fault | undefined {
  const seen = new Set<string>();
  for (const list of ['cues', 'outcomes', 'cuesAfter'] as const) {
    for (const [index, cue] of (each[list] ?? []).entries()) {
      const place = `${path}.${list}[${String(index)}]`;
      if (!knownCues.has(cue)) {
        return {
          path: place,
          what: `“${cue}” is not a cue that the grammar knows.`,
          repair: 'Use a cue of grammars/cues.jsgf, or add it there.',
        };
      }
      if (seen.has(cue))
        return { path: place, what: `The step has the cue “${cue}” twice.`, repair: 'Leave it in one place.' };
      seen.add(cue);
    }
  }
  const named = [
    ...Object.keys(each.cueIfFitted ?? {}).map((cue) => ({ cue, place: `${path}.cueIfFitted` })),
    ...(['startsClock', 'stopsClock'] as const).flatMap((key) => {
      const cue = each[key];
      return cue === undefined ? [] : [{ cue, place: `${path}.${key}` }];
    }),
  ];
  const stray = named.find(({ cue }) => !seen.has(cue));
  return (
    stray && { path: stray.place, what: `“${stray.cue}” is not a cue of this step.`, repair: 'Name one of its cues.' }
  );
}

function kindFault(
  { kind, outcomes, holdSeconds, from, to, engineSpeed, plausible, cues, cuesAfter, items, names, sources }: Step,
  path: string,
): Fault | undefined {
  if (kind === 'hold' && holdSeconds === undefined) {
    return { path: `${path}.holdSeconds`, what: 'A hold has no length.', repair: 'Add holdSeconds, in seconds.' };
  }
  if (kind !== 'hold' && holdSeconds !== undefined) return useless(path, 'holdSeconds', kind, 'a hold');
  const hasOutcomes = outcomes !== undefined && outcomes.length > 0;
  if ((kind === 'event' || kind === 'observe') && !hasOutcomes) {
    return {
      path: `${path}.outcomes`,
      what:
        kind === 'event'
          ? 'An event step has no cue for its moment.'
          : 'An observe step has no cues for what may be seen or felt.',
      repair: 'List at least one cue in outcomes.',
    };
  }
  if (kind !== 'event' && kind !== 'observe' && outcomes !== undefined)
    return useless(path, 'outcomes', kind, 'an event or observe');
  if (kind === 'build') {
    if (from === undefined || to === undefined) {
      const missing = from === undefined ? 'from' : 'to';
      return {
        path: `${path}.${missing}`,
        what: 'A build step lacks a pressure of its window.',
        repair: 'Add both from and to.',
      };
    }
    if (pressureIn(from, to.unit) >= to.value) {
      return {
        path: `${path}.from`,
        what: 'The window of a build step begins at or above its end.',
        repair: 'Make from lower than to.',
      };
    }
  } else if (from !== undefined || to !== undefined)
    return useless(path, from === undefined ? 'to' : 'from', kind, 'a build');
  if (kind !== 'build' && engineSpeed !== undefined) return useless(path, 'engineSpeed', kind, 'a build');
  if (plausible !== undefined && pressureIn(plausible.min, plausible.max.unit) >= plausible.max.value) {
    return {
      path: `${path}.plausible`,
      what: 'The lowest plausible pressure is not below the highest.',
      repair: 'Make min lower than max.',
    };
  }
  if (kind === 'items') {
    for (const [key, value] of Object.entries({ items, names, sources })) {
      if (value === undefined)
        return { path: `${path}.${key}`, what: `An items step has no ${key}.`, repair: `Add ${key}.` };
    }
    if (cues.length + (cuesAfter?.length ?? 0) > 0) return useless(path, 'cues', kind, 'a confirm');
  } else if (items !== undefined) return useless(path, 'items', kind, 'an items');
  if (kind === 'confirm' && cues.length + (cuesAfter?.length ?? 0) === 0) {
    return { path: `${path}.cues`, what: 'A confirm step has nothing to confirm.', repair: 'List at least one cue.' };
  }
  return undefined;
}

function useless(path: string, key: string, kind: string, owner: string): Fault {
  return {
    path: `${path}.${key}`,
    what: `${/^[eio]/.test(kind) ? 'An' : 'A'} ${kind} step has no use for ${key}.`,
    repair: `Remove it, or make the step ${owner} step.`,
  };
}

function clockFault(steps: readonly Step[]): Fault | undefined {
  const at = (key: 'startsClock' | 'stopsClock'): number[] =>
    steps.flatMap((each, index) => (each[key] === undefined ? [] : [index]));
  const [starts, stops] = [at('startsClock'), at('stopsClock')];
  for (const [key, list] of [
    ['startsClock', starts],
    ['stopsClock', stops],
  ] as const) {
    const second = list[1];
    if (second !== undefined) {
      return {
        path: `steps[${String(second)}].${key}`,
        what: 'The clock is started or stopped in two steps.',
        repair: 'Leave it in one step.',
      };
    }
  }
  const [start] = starts;
  const [stop] = stops;
  if (stop !== undefined && (start === undefined || start > stop)) {
    return {
      path: `steps[${String(stop)}].stopsClock`,
      what: 'The clock is stopped but not started before.',
      repair: 'Add startsClock to an earlier step.',
    };
  }
  if (start !== undefined && stop === undefined) {
    return {
      path: `steps[${String(start)}].startsClock`,
      what: 'The clock is started but never stopped.',
      repair: 'Add stopsClock to a later step.',
    };
  }
  return undefined;
}
