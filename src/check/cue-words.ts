/** Where the words of a cue's name are not those that the ear hears best, or that are furthest from its opposite's. */
const SAID: Readonly<Record<string, string>> = {
  // A diesel covers “rig”, and “rig rolled” is near.
  'rig-held': 'brakes held',
};

/** A cue in the words it is best called by: “engine off”, “brakes held”. */
export function cueWords(cue: string): string {
  return SAID[cue] ?? cue.replaceAll('-', ' ');
}
