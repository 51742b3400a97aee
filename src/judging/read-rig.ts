import * as v from 'valibot';
import type { Outcome } from '../units/outcome.ts';
import { readBySchema } from '../units/read-by-schema.ts';
import type { RigSettings } from './result.ts';
import { idText, positive, pressureUnit, text } from './schema.ts';

/**
 * Coarsest marks of a dial that are believed: 10 psi, or 50 kPa (dials of truck cabs have marks of 5 or 10 psi; common practice, no
 * source). With coarser ones hardly any limit could be told from its neighbour, and a rise of a needle would pass for a reading error.
 */
const COARSEST = { psi: 10, kPa: 50 } as const;

const resolution = v.exactOptional(
  v.variant('unit', [
    v.strictObject({ value: v.pipe(positive, v.maxValue(COARSEST.psi)), unit: v.literal('psi') }),
    v.strictObject({ value: v.pipe(positive, v.maxValue(COARSEST.kPa)), unit: v.literal('kPa') }),
  ]),
);

const rig = v.strictObject({
  id: idText,
  name: text,
  unit: pressureUnit,
  resolution: v.exactOptional(v.strictObject({ primary: resolution, secondary: resolution })),
  reservoirs: v.exactOptional(
    v.strictObject({
      supply: v.exactOptional(v.pipe(v.number(), v.finite(), v.minValue(0))),
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

/** Rig settings from JSON; all but id, name and unit may be absent. Refused with the path and the reason. `where` names the file. */
export function readRig(json: unknown, where: string): Outcome<RigSettings> {
  return readBySchema(rig, json, where);
}
