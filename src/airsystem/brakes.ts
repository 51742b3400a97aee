import type { AirRig } from './rig.ts';

/**
 * Retarding force of the service brakes as a share of the rig's weight, per psi in the chambers above the pressure that only takes up
 * the slack. Ours, no source: about 0.6 g near 85 psi, six tenths of it at the rear.
 */
const SHARE_PER_PSI = 0.0075;
const SLACK_PSI = 5;
const REAR_PART = 0.6;

/** What holds the rig, as a share of its weight, from the gauge pressures in psi. `springHold`: share that the springs hold when off air. */
export function retardingShare(
  rig: AirRig,
  springHold: number,
  psi: { readonly springs: number; readonly rear: number; readonly front: number },
): number {
  const springs = Math.min(1, Math.max(0, 1 - psi.springs / rig.springBrakes.holdOffPsi));
  const service = REAR_PART * Math.max(0, psi.rear - SLACK_PSI) + (1 - REAR_PART) * Math.max(0, psi.front - SLACK_PSI);
  return springHold * springs + SHARE_PER_PSI * service;
}

/** Pull of the engine in drive as a share of the rig's weight: a torque converter's grows with the square of the speed. */
export function pullShare(rig: AirRig, rpm: number): number {
  return rig.engine.idlePullShare * (rpm / rig.engine.idleRpm) ** 2;
}
