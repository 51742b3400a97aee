import * as v from 'valibot';
import type { Outcome } from '../units/outcome.ts';
import { readBySchema, type Fault as FileFault } from '../units/read-by-schema.ts';
import type { StartPsi } from './air.ts';
import { MORNING } from './air.ts';
import type { Fault } from './fault.ts';
import { faultParts, faultSchema } from './fault.ts';
import type { AirRig } from './rig.ts';
import { DEMO_RIGS, rigSchema } from './rig.ts';
import { between, kebab, text } from './schema.ts';

/** A rehearsal: the rig, what is wrong with it, and what the trainee is told beforehand. */
export interface Scenario {
  readonly format: 'two-needles-scenario';
  readonly version: 1;
  readonly id: string;
  readonly title: string;
  /** Picks among `hidden`; any whole number from 0 to 4294967295. */
  readonly seed: number;
  readonly rig: AirRig;
  readonly startPsi: StartPsi;
  /** Always there. */
  readonly faults: readonly Fault[];
  /** So many of these are there too, which ones is picked by the seed. */
  readonly hidden?: { readonly pick: number; readonly from: readonly Fault[] };
  readonly told: string;
  /** What somebody who does it as told does wrong in measuring, by the name that a scripted trainee knows it by. */
  readonly slip?: string;
}

const FORMAT = 'two-needles-scenario';
const RIG_NAMES = Object.keys(DEMO_RIGS) as (keyof typeof DEMO_RIGS)[];

const psi = between(0, 145, 'psi');
const faults = v.array(faultSchema, 'must be a list of faults');
const namedRig = v.pipe(
  v.picklist(RIG_NAMES, `must be one of ${RIG_NAMES.join(', ')}, or a whole rig`),
  v.transform((name): AirRig => DEMO_RIGS[name]),
);

const scenarioSchema = v.strictObject({
  format: v.literal(FORMAT, `must be ${FORMAT}`),
  version: v.literal(1, 'must be 1, the only version this program reads'),
  id: kebab,
  title: text,
  seed: v.pipe(between(0, 0xffff_ffff), v.integer('must be a whole number')),
  /** The name of a demo rig, or a whole rig. */
  rig: v.lazy((rig): v.GenericSchema<unknown, AirRig> => (typeof rig === 'string' ? namedRig : rigSchema)),
  startPsi: v.optional(v.strictObject({ primary: psi, secondary: psi, supply: v.exactOptional(psi) }), MORNING),
  faults,
  hidden: v.exactOptional(
    v.strictObject({
      pick: v.pipe(between(1, 9), v.integer('must be a whole number')),
      from: v.pipe(faults, v.minLength(1, 'must not be empty')),
    }),
  ),
  told: text,
  slip: v.exactOptional(kebab),
});

/** Checks a scenario of parsed JSON; `where` names its file. What cannot be is refused with its path and the reason. */
export function readScenario(json: unknown, where: string): Outcome<Scenario> {
  return readBySchema(scenarioSchema, json, where, { rule: impossible });
}

/**
 * The faults of one rehearsal: those always there, and the hidden ones that the seed picks. The same seed always picks the same;
 * another `seed` than the scenario's own makes another rehearsal of it.
 */
export function faultsFor(scenario: Scenario, seed: number = scenario.seed): readonly Fault[] {
  if (scenario.hidden === undefined) return scenario.faults;
  const random = randomFrom(seed);
  const left = [...scenario.hidden.from];
  const picked: Fault[] = [];
  while (picked.length < scenario.hidden.pick) picked.push(...left.splice(Math.floor(random() * left.length), 1));
  return [...scenario.faults, ...picked];
}

/** What a schema cannot see: values that are each possible, but not together. */
function impossible(scenario: Scenario): FileFault | undefined {
  const { rig, startPsi, hidden } = scenario;
  const placed = [
    ...scenario.faults.map((fault, index) => ({ fault, path: `faults[${index}]`, hidden: false })),
    ...(hidden?.from ?? []).map((fault, index) => ({ fault, path: `hidden.from[${index}]`, hidden: true })),
  ];
  for (const [index, { fault, path, ...here }] of placed.entries()) {
    const reason = impossibleOn(rig, fault);
    if (reason !== undefined) return faultAt(`${path}.${reason.key}`, reason.why);
    for (const other of placed.slice(0, index)) {
      // One of several hidden faults is picked: they may exclude each other.
      if (here.hidden && other.hidden && hidden?.pick === 1) continue;
      const part = faultParts(fault).find((name) => faultParts(other.fault).includes(name));
      if (part !== undefined) return faultAt(path, `changes the ${part}, as ${other.path} does`);
    }
  }
  if (hidden !== undefined && hidden.pick > hidden.from.length) {
    return faultAt('hidden.pick', `must be at most ${hidden.from.length}, the number of faults to pick from`);
  }
  const cutOut = Math.min(rig.governor.cutOutPsi, ...placed.map(({ fault }) => cutOutOf(fault)));
  for (const [name, value] of Object.entries(startPsi) as [string, number][]) {
    if (value > cutOut) return faultAt(`startPsi.${name}`, `must be at most the cut-out of ${cutOut} psi`);
  }
  return undefined;
}

function faultAt(path: string, why: string): FileFault {
  return { path, what: `${path} ${why}.`, repair: 'Correct the scenario file and open it again.' };
}

function cutOutOf(fault: Fault): number {
  return fault.kind === 'governor' ? fault.cutOutPsi : Infinity;
}

/** Why a fault cannot be one on this rig. */
function impossibleOn(rig: AirRig, fault: Fault): { readonly key: string; readonly why: string } | undefined {
  if (fault.kind === 'governor' && fault.cutInPsi >= fault.cutOutPsi) {
    return { key: 'cutInPsi', why: `must be below the cut-out of ${fault.cutOutPsi} psi` };
  }
  if (fault.kind === 'late-low-air-switch' && fault.closesAtPsi >= rig.lowAirPsi) {
    return { key: 'closesAtPsi', why: `must be below ${rig.lowAirPsi} psi, where a good switch of ${rig.name} closes` };
  }
  if (fault.kind === 'sticking-parking-valve' && fault.popsAtPsi >= rig.popOutPsi) {
    return { key: 'popsAtPsi', why: `must be below ${rig.popOutPsi} psi, where a good valve of ${rig.name} pops` };
  }
  return undefined;
}

/** Mulberry32, a public-domain generator (from memory): numbers from 0 up to 1, the same for the same seed. */
export function randomFrom(seed: number): () => number {
  let state = seed >>> 0;
  return () => {
    state = (state + 0x6d2b79f5) >>> 0;
    let mixed = Math.imul(state ^ (state >>> 15), state | 1);
    mixed ^= mixed + Math.imul(mixed ^ (mixed >>> 7), mixed | 61);
    return ((mixed ^ (mixed >>> 14)) >>> 0) / 2 ** 32;
  };
}
