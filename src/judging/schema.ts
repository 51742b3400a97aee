import * as v from 'valibot';
import { CAB_PARTS, type CabPart } from './condition.ts';

/** Pieces shared by the schemas of profiles and rigs. */
export const text = v.pipe(v.string(), v.trim(), v.nonEmpty());
export const idText = v.pipe(v.string(), v.regex(/^[a-z0-9]+(-[a-z0-9]+)*$/));
export const positive = v.pipe(v.number(), v.finite(), v.gtValue(0));
export const pressureUnit = v.picklist(['psi', 'kPa']);

export const number = v.pipe(v.number(), v.finite());

export const source = v.strictObject({
  document: text,
  section: v.exactOptional(text),
  sure: v.picklist(['seen', 'secondary', 'memory', 'practice']),
});

const pressure = v.strictObject({ value: v.pipe(number, v.minValue(0)), unit: pressureUnit });

function statesOf<Part extends CabPart>(part: Part) {
  return v.strictObject({
    part: v.literal(part),
    is: v.picklist(CAB_PARTS[part]),
    known: v.picklist(['must', 'assumed']),
    since: v.exactOptional(v.picklist(['within', 'before'])),
    source,
  });
}

/** A condition that a plan or a profile demands besides those of the test. */
export const condition = v.union([
  ...(Object.keys(CAB_PARTS) as CabPart[]).map(statesOf),
  v.strictObject({ lowestStart: pressure, source }),
  v.strictObject({ circuitsApart: pressure, source }),
  v.strictObject({ momentToNeedles: v.strictObject({ seconds: positive }), source }),
]);
