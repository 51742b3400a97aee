import * as v from 'valibot';
import type { RigSettings } from '../judging/result.ts';
import { describeIssue, idText, positive, pressureUnit, text } from '../judging/schema.ts';
import { bad, good, type Outcome } from '../units/outcome.ts';

const dial = v.strictObject({ value: positive, unit: pressureUnit });

const rig = v.strictObject({
  id: idText,
  name: text,
  unit: pressureUnit,
  resolution: v.exactOptional(v.strictObject({ primary: v.exactOptional(dial), secondary: v.exactOptional(dial) })),
  reservoirs: v.exactOptional(
    v.strictObject({
      supply: v.exactOptional(positive),
      primary: v.exactOptional(positive),
      secondary: v.exactOptional(positive),
    }),
  ),
  requiredReservoirs: v.exactOptional(positive),
  fitted: v.exactOptional(
    v.strictObject({
      handValve: v.exactOptional(v.boolean()),
      fastIdle: v.exactOptional(v.boolean()),
      trailer: v.exactOptional(v.boolean()),
    }),
  ),
  compressorDisplacement: v.exactOptional(positive),
});

/** Where nothing is known of the rig: pressures in psi, dials read to 1 psi, nothing optional fitted. */
export const UNNAMED_RIG: RigSettings = { id: 'unnamed', name: 'Unnamed rig', unit: 'psi' };

/** The settings of a rig from parsed JSON; `where` names the file in problems. */
export function readRig(json: unknown, where: string): Outcome<RigSettings> {
  const parsed = v.safeParse(rig, json);
  if (parsed.success) return good(parsed.output);
  const { path, what, repair } = describeIssue(parsed.issues[0]);
  return bad(`not a rig: ${what}`, path === '' ? where : `${where}: ${path}`, repair);
}
