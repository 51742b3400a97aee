import { builtInScenarios } from '../../../src/airsystem/built-in-scenarios.ts';
import type { Fault } from '../../../src/airsystem/fault.ts';
import { DEMO_RIGS } from '../../../src/airsystem/rig.ts';
import type { Scenario } from '../../../src/airsystem/scenario.ts';
import { readScenario } from '../../../src/airsystem/scenario.ts';
import type { Random } from './random.ts';
import { chance, pick } from './random.ts';

/** Faults of every kind, from barely beyond a limit of common practice to gross. */
const FAULTS: readonly Fault[] = [
  ...(['primary', 'secondary'] as const).flatMap((circuit) =>
    (['always', 'released', 'applied'] as const).flatMap((when) =>
      [3.5, 5, 12, 40].map((psiPerMinute): Fault => ({ kind: 'leak', circuit, when, psiPerMinute })),
    ),
  ),
  { kind: 'worn-compressor', remaining: 0.45 },
  { kind: 'worn-compressor', remaining: 0.2 },
  { kind: 'governor', cutOutPsi: 136, cutInPsi: 112 },
  { kind: 'governor', cutOutPsi: 133, cutInPsi: 100 },
  { kind: 'governor', cutOutPsi: 104, cutInPsi: 76 },
  { kind: 'governor', cutOutPsi: 122, cutInPsi: 115 },
  { kind: 'dead-low-air-switch', circuit: 'both' },
  { kind: 'dead-low-air-switch', circuit: 'primary' },
  { kind: 'late-low-air-switch', circuit: 'both', closesAtPsi: 50 },
  { kind: 'late-low-air-switch', circuit: 'secondary', closesAtPsi: 45 },
  { kind: 'sticking-parking-valve', popsAtPsi: 17 },
  { kind: 'sticking-parking-valve', popsAtPsi: 0 },
  { kind: 'lagging-gauge', circuit: 'primary', seconds: 30 },
  { kind: 'lagging-gauge', circuit: 'secondary', seconds: 90 },
  { kind: 'high-gauge', circuit: 'primary', percent: 8 },
  { kind: 'high-gauge', circuit: 'secondary', percent: 15 },
  { kind: 'weak-hold', remaining: 0.2 },
];

const BUILT_IN = builtInScenarios().flatMap(({ scenarios }) => scenarios);

/** A rig to check: one of the scenarios that ship with the program, or a rig of the district in order, with one fault, or with two. */
export function randomScenario(random: Random): Scenario {
  if (chance(random, 0.2)) return pick(random, BUILT_IN);
  const rig = pick(random, Object.values(DEMO_RIGS));
  const count = pick(random, [0, 0, 1, 1, 1, 1, 2]);
  const psi = pick(random, [72, 75, 78]);
  for (;;) {
    const faults = Array.from({ length: count }, () => pick(random, FAULTS));
    // Two faults of one part, or a fault that cannot be on this rig, are refused.
    const read = readScenario(
      {
        format: 'two-needles-scenario',
        version: 1,
        id: `${rig.id}-checked`,
        title: rig.name,
        seed: 1,
        rig,
        startPsi: { primary: psi, secondary: psi },
        faults,
        told: rig.about,
      },
      rig.id,
    );
    if (read.ok) return read.value;
  }
}
