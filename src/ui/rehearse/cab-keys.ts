import type { Controls } from '../../airsystem/controls.ts';
import type { Movement } from '../../rehearsal/hands.ts';
import { APPLIED_PSI, PEDAL_DOWN_PSI } from '../../rehearsal/hands.ts';

/** What a control of the cab does when it is pressed. The pedal that is trodden down comes up again when it is let go. */
export type CabControl =
  | 'key'
  | 'engine'
  | 'parking'
  | 'fast-idle'
  | 'hand-valve'
  | 'selector'
  | 'tread'
  | 'steady'
  | 'fan';

/** The keys of the cab, as the list of keys shows them; none of them is one of the Check screen's. */
export const CAB_KEYS: readonly { readonly key: string; readonly control: CabControl; readonly what: string }[] = [
  { key: 'K', control: 'key', what: 'key on, off' },
  { key: 'E', control: 'engine', what: 'engine start, stop' },
  { key: 'V', control: 'parking', what: 'parking valve in, out' },
  { key: 'F', control: 'tread', what: 'tread the pedal down as long as the key is held' },
  { key: 'G', control: 'steady', what: `pedal steady at ${APPLIED_PSI} psi, up again` },
  { key: 'J', control: 'fan', what: 'fan the pedal, stop' },
  { key: 'I', control: 'fast-idle', what: 'fast idle on, off' },
  { key: 'H', control: 'hand-valve', what: 'hand valve on, off' },
  { key: 'D', control: 'selector', what: 'selector drive, neutral' },
];

export function controlOfKey(key: string): CabControl | undefined {
  return CAB_KEYS.find((each) => each.key === key.toUpperCase())?.control;
}

/** What one press of a control moves, as the cab stands. */
export function movementOf(
  control: CabControl,
  controls: Controls,
  { parkingOut, fanning }: { readonly parkingOut: boolean; readonly fanning: boolean },
): Movement {
  switch (control) {
    case 'key':
      // The engine stops with the key, and does not start again with it.
      return { set: controls.ignition ? { ignition: false, engine: false } : { ignition: true } };
    case 'engine':
      return { set: controls.engine && controls.ignition ? { engine: false } : { ignition: true, engine: true } };
    case 'parking':
      return { set: { parking: parkingOut ? 'push' : 'pull' } };
    case 'fast-idle':
      return { set: { fastIdle: !controls.fastIdle } };
    case 'hand-valve':
      return { set: { handValvePsi: controls.handValvePsi > 0 ? 0 : APPLIED_PSI } };
    case 'selector':
      return { set: { drive: !controls.drive } };
    case 'tread':
      return { set: { pedalPsi: PEDAL_DOWN_PSI } };
    case 'steady':
      return { set: { pedalPsi: controls.pedalPsi > 0 && !fanning ? 0 : APPLIED_PSI } };
    case 'fan':
      return fanning ? { set: { pedalPsi: 0 }, fan: false } : { fan: true };
  }
}
