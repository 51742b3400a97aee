import * as v from 'valibot';
import engine31 from './rigs/engine-31.json' with { type: 'json' };
import ladder36 from './rigs/ladder-36.json' with { type: 'json' };
import tender34 from './rigs/tender-34.json' with { type: 'json' };
import { between, kebab, text } from './schema.ts';

const CHAMBER_TYPES = [16, 20, 24, 30, 36] as const;
type ChamberType = (typeof CHAMBER_TYPES)[number];

/**
 * Volume of one service chamber at full stroke, litres, by type. Type 30 is 89 in³ (seen); types 16, 20, 24 and 36 are 46, 54, 67 and
 * 135 in³ (49 CFR 571.121 table V, from memory). 1 in³ = 0.016387064 l exactly.
 */
const CUBIC_INCH = 0.016387064;
const CHAMBER_LITRES: Readonly<Record<ChamberType, number>> = {
  16: 46 * CUBIC_INCH,
  20: 54 * CUBIC_INCH,
  24: 67 * CUBIC_INCH,
  30: 89 * CUBIC_INCH,
  36: 135 * CUBIC_INCH,
};

const chambersSchema = v.strictObject({
  type: v.picklist(CHAMBER_TYPES, `must be one of ${CHAMBER_TYPES.join(', ')}`),
  count: v.pipe(between(1, 8), v.integer('must be a whole number')),
});

const litres = between(1, 300, 'litres');

/** The shape of a rig's air system in JSON. All pressures are gauge pressures in psi, all volumes litres. */
export const rigSchema = v.pipe(
  v.strictObject({
    id: kebab,
    name: text,
    about: text,
    reservoirs: v.strictObject({ supply: litres, primary: litres, secondary: litres }),
    /** Service chambers: the primary circuit works the rear ones, the secondary circuit the front ones. */
    chambers: v.strictObject({
      front: chambersSchema,
      rear: chambersSchema,
      /** Share of the full stroke, and so of the rated volume, that a well adjusted brake uses. */
      stroke: between(0.2, 1),
    }),
    springBrakes: v.strictObject({
      /** All hold-off chambers together. */
      litres: between(0.2, 30, 'litres'),
      /** Pressure that just holds the springs off. */
      holdOffPsi: between(20, 100, 'psi'),
      /** Retarding force of the parked rig as a share of its weight. */
      holdShare: between(0.05, 0.6),
    }),
    compressor: v.strictObject({
      litresPerRev: between(0.02, 2, 'litres'),
      speedRatio: between(0.3, 3),
      clearance: between(0, 0.2),
      filling: between(0.3, 1),
    }),
    engine: v.strictObject({
      idleRpm: between(400, 1200, 'rpm'),
      fastIdleRpm: between(600, 2000, 'rpm'),
      maxRpm: between(1200, 4000, 'rpm'),
      /** Pull of the engine at idle in drive, as a share of the rig's weight. */
      idlePullShare: between(0.01, 0.3),
    }),
    governor: v.strictObject({ cutOutPsi: between(60, 145, 'psi'), cutInPsi: between(50, 140, 'psi') }),
    dryerLitres: between(0.2, 10, 'litres'),
    lowAirPsi: between(30, 100, 'psi'),
    popOutPsi: between(10, 90, 'psi'),
    /** What each circuit of this rig loses at rest near 120 psi; no air system is perfectly tight. */
    restingLeakPsiPerMinute: between(0, 1.5, 'psi a minute'),
    gauge: v.strictObject({
      unit: v.picklist(['psi', 'kPa'], 'must be psi or kPa'),
      /** Smallest readable step of the dial, in its own unit. */
      resolution: between(0.1, 50),
      /** Time constant of the needle. */
      lagSeconds: between(0, 2, 'seconds'),
    }),
    fitted: v.strictObject({
      handValve: v.boolean('must be true or false'),
      fastIdle: v.boolean('must be true or false'),
    }),
    /** Where the values come from; `invented` for those of the demo district alone. */
    sources: v.array(
      v.strictObject({
        what: text,
        document: text,
        sure: v.picklist(['seen', 'secondary', 'memory', 'practice', 'invented'], 'must say how sure it is'),
      }),
      'must be a list',
    ),
  }),
  v.forward(
    v.check((rig) => rig.governor.cutInPsi < rig.governor.cutOutPsi, 'must have the cut-in below the cut-out'),
    ['governor'],
  ),
  v.forward(
    v.check((rig) => rig.popOutPsi < rig.lowAirPsi, 'must be below the low-air warning'),
    ['popOutPsi'],
  ),
  v.forward(
    v.check((rig) => rig.lowAirPsi < rig.governor.cutInPsi, 'must be below the governor cut-in'),
    ['lowAirPsi'],
  ),
  v.forward(
    v.check(
      ({ engine }) => engine.idleRpm < engine.fastIdleRpm && engine.fastIdleRpm <= engine.maxRpm,
      'must have idle below fast idle, and fast idle not above maximum',
    ),
    ['engine'],
  ),
);

export type AirRig = v.InferOutput<typeof rigSchema>;

/** Rated volume of all service chambers, front and rear, at full stroke, litres. */
export function chamberLitres(rig: AirRig): { readonly front: number; readonly rear: number } {
  const { front, rear } = rig.chambers;
  return { front: front.count * CHAMBER_LITRES[front.type], rear: rear.count * CHAMBER_LITRES[rear.type] };
}

/** Least reservoir volume, litres: 12 times the service chambers at full stroke (49 CFR 571.121 S5.1.2.1, seen in a copy). */
export function requiredReservoirLitres(rig: AirRig): number {
  const { front, rear } = chamberLitres(rig);
  return 12 * (front + rear);
}

/** The three rigs of the Tamarack Flats Fire District, all in order. */
export const DEMO_RIGS: Readonly<Record<'engine-31' | 'tender-34' | 'ladder-36', AirRig>> = {
  'engine-31': v.parse(rigSchema, engine31),
  'tender-34': v.parse(rigSchema, tender34),
  'ladder-36': v.parse(rigSchema, ladder36),
};
