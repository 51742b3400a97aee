import type { AirRig } from './rig.ts';

/** What the person in the cab does during one step. */
export interface Controls {
  readonly ignition: boolean;
  /** The engine runs; it cannot without the ignition. */
  readonly engine: boolean;
  /** Fast idle set; no effect where it is not fitted. */
  readonly fastIdle: boolean;
  /** Engine speed held by the throttle, rpm; the higher of it and the idle counts. */
  readonly throttleRpm?: number;
  /** Pressure asked for at the service pedal, psi: 0 released, 150 right down. */
  readonly pedalPsi: number;
  /** Pressure asked for at the hand valve, psi; no effect where it is not fitted. */
  readonly handValvePsi: number;
  /** A push or pull at the parking valve during this step; between them the hand is off and the valve may pop by itself. */
  readonly parking: 'leave' | 'push' | 'pull';
  /** Selector in drive rather than neutral. */
  readonly drive: boolean;
}

/** Nobody touches anything. */
export const HANDS_OFF: Controls = {
  ignition: false,
  engine: false,
  fastIdle: false,
  pedalPsi: 0,
  handValvePsi: 0,
  parking: 'leave',
  drive: false,
};

const MOST_PEDAL_PSI = 150;

/** A number from outside, kept within its range; what is no number counts as `min`. */
function within(value: number, min: number, max: number): number {
  return Number.isFinite(value) ? Math.min(max, Math.max(min, value)) : min;
}

/** Engine speed in rpm; 0 when it does not run. */
export function engineRpm(controls: Controls, { engine, fitted }: AirRig): number {
  if (!controls.engine || !controls.ignition) return 0;
  const idle = controls.fastIdle && fitted.fastIdle ? engine.fastIdleRpm : engine.idleRpm;
  return Math.max(idle, within(controls.throttleRpm ?? 0, 0, engine.maxRpm));
}

/** Pressures asked for at the service chambers, psi. The hand valve works the rear ones. */
export function askedPsi(controls: Controls, rig: AirRig): { readonly rear: number; readonly front: number } {
  const pedal = within(controls.pedalPsi, 0, MOST_PEDAL_PSI);
  const hand = rig.fitted.handValve ? within(controls.handValvePsi, 0, MOST_PEDAL_PSI) : 0;
  return { rear: Math.max(pedal, hand), front: pedal };
}
