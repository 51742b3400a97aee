/** A microphone that can be chosen. */
export interface NamedMicrophone {
  readonly id: string;
  readonly name: string;
}

/** Names of Chromium for whatever the system has chosen, which stand beside the device itself. */
const STAND_INS: readonly string[] = ['', 'default', 'communications'];

/** The microphones of a device list. A page that was never let use one gets none: their names are kept from it. */
export function microphonesIn(
  devices: readonly Pick<MediaDeviceInfo, 'kind' | 'deviceId' | 'label'>[],
): readonly NamedMicrophone[] {
  return devices
    .filter(({ kind, deviceId }) => kind === 'audioinput' && !STAND_INS.includes(deviceId))
    .map(({ deviceId, label }, at) => ({ id: deviceId, name: label === '' ? `Microphone ${at + 1}` : label }));
}
