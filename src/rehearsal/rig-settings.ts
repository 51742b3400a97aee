import type { AirRig } from '../airsystem/rig.ts';
import { requiredReservoirLitres } from '../airsystem/rig.ts';
import type { RigSettings } from '../judging/result.ts';

/** What the judge may know of a simulated rig: its identity, dials, reservoirs and equipment; never its faults. */
export function rigSettingsOf(rig: AirRig): RigSettings {
  const { unit, resolution } = rig.gauge;
  const step = { value: resolution, unit };
  return {
    id: rig.id,
    name: rig.name,
    unit,
    resolution: { primary: step, secondary: step },
    reservoirs: rig.reservoirs,
    requiredReservoirs: requiredReservoirLitres(rig),
    fitted: { ...rig.fitted, trailer: false },
  };
}
