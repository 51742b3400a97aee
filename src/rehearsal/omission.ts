/** Mistakes that a scripted trainee can be told to make, and what each is. */
export const OMISSIONS = {
  'omit-chocks': 'does not call the chocks',
  'omit-mirrors': 'does not call the mirrors',
  'omit-belts': 'does not call the belts',
  misread: 'calls the primary 5 psi too high at the governor cut-out',
  'early-cut-out': 'calls the cut-out before it comes',
  'engine-left-on': 'says engine off and leaves it running in the static hold',
  'brakes-not-released': 'says brakes released and leaves the valve out in the static hold',
  'short-hold': 'ends the static hold after 45 s',
  'guessed-hold': 'calls the first needles of the static hold again at its end, without looking',
  'needles-before-settled': 'calls the needles before “settled” in the applied hold',
  'pedal-eased': 'lets the pedal up during the applied hold',
  'pump-too-fast': 'pumps the pedal 1 s on and 1 s off',
  'late-buzzer': 'calls the buzzer 4 s late',
  'fast-idle-left-on': 'forgets fast idle at the end',
  'says-held': 'calls rig held whatever the rig does',
  'drives-on-a-fail': 'drives at the service brake test although a step has failed',
  'engine-in-hold': 'starts the engine in the static hold for a while, without a word',
  'engine-called-in-hold': 'starts the engine in the static hold, says so, and goes on',
  'brake-in-hold': 'presses the pedal in the static hold, without a word',
  'low-start': 'begins the static hold with tanks that are nearly empty',
  'engine-on-at-buzzer': 'starts the engine just before the buzzer is called, without a word',
  'late-needles': 'calls the needles 30 s after the buzzer',
  'engine-off-in-window': 'stops the engine in the build window for a while, without a word',
  'fast-idle-off-in-window': 'switches fast idle off in the build window, without a word',
} as const;

export type Omission = keyof typeof OMISSIONS;

export function isOmission(text: string): text is Omission {
  return Object.hasOwn(OMISSIONS, text);
}
