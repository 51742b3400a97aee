import process from 'node:process';

/** `npm run bench -- NAME …`: runs one bench with what follows as its arguments; all of them without a name. */
const BENCHES: Readonly<Record<string, () => Promise<unknown>>> = {
  airsystem: () => import('./airsystem.ts'),
  'cab-sounds': () => import('./cab-sounds.ts'),
  calibration: () => import('./calibration.ts'),
  confusable: () => import('./confusable.ts'),
  conversation: () => import('./conversation.ts'),
  evidence: () => import('./evidence.ts'),
  'first-content': () => import('./first-content.ts'),
  fuzz: () => import('./fuzz.ts'),
  hearing: () => import('./hearing.ts'),
  'hearing-whole': () => import('./hearing-whole.ts'),
  logs: () => import('./logs.ts'),
  import: () => import('./import.ts'),
  kills: () => import('./kills.ts'),
  oddities: () => import('./oddities.ts'),
  pretrip: () => import('./pretrip.ts'),
  'own-words': () => import('./own-words.ts'),
  pauses: () => import('./pauses.ts'),
  replay: () => import('./replay.ts'),
  'silent-pass': () => import('./silent-pass.ts'),
  'slow-phone': () => import('./slow-phone.ts'),
  'sound-check': () => import('./sound-check.ts'),
  verify: () => import('./verify.ts'),
  tube: () => import('./tube.ts'),
};
/** Benches that are run only by their name: this one runs every test many times. */
const BY_NAME: Readonly<Record<string, () => Promise<unknown>>> = { busy: () => import('./busy.ts') };

const [chosenName] = process.argv.slice(2, 3);
const chosen = chosenName === undefined ? Object.values(BENCHES) : [{ ...BENCHES, ...BY_NAME }[chosenName]];
// The benches read their own arguments as if they had been started alone.
process.argv.splice(2, 1);
for (const bench of chosen) {
  if (bench === undefined) {
    console.error(
      `There is no bench “${chosenName ?? ''}”. The benches are: ${Object.keys({ ...BENCHES, ...BY_NAME }).join(', ')}.`,
    );
    process.exitCode = 2;
  } else await bench();
}
