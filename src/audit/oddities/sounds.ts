import { soundDistance } from '../../hearing/sound-print.ts';
import { median } from '../../judging/median.ts';
import { atLeast } from './chance.ts';
import { groupedBy } from './grouped.ts';
import { notAsked, type Answer, type Group } from './finding.ts';
import type { SpokenClip } from './spoken-check.ts';

/** Bits of two prints that may differ in one sound; two sounds differ in about a half. See the bench `oddities` for what lies between. */
const ONE_SOUND = 0.2;
/** How often two sounds of the same words come so near, at most: measured in the bench, none of the pairs there did. */
const NEAR_BY_CHANCE = 1e-6;
const LEAST_CLIPS = 20;
/** Speech stands further above what goes on between its words, dB. */
const SPEECH_DB = 4;
/** How often a clip of speech does not, at most. */
const NO_SPEECH_BY_CHANCE = 0.03;
/** An engine that runs lifts the rumble of the cab by more, dB. */
const ENGINE_DB = 1;
/** How often it does not, in a cab, at most. */
const NO_ENGINE_BY_CHANCE = 0.05;
const LEAST_COMPARED = 5;

/** Whether one sound stands for two callouts: bit for bit by the digests that the logs hold, or nearly so by the prints. */
export function sameSound({ checks }: Group): Answer {
  const clips = checks.flatMap((check) => check.clips);
  // A copy to the bit is one in a single check already: no number of clips makes it likelier.
  const copies = clips.length - new Set(clips.map(({ digest }) => digest)).size;
  if (copies > 0)
    return {
      kind: 'same-sound',
      what: `${copies} of ${clips.length} clips are bit for bit the sound of another callout`,
      expected: 'none',
      // Not two recordings in the life of the world: what is left is a fault of the program or of the microphone.
      chance: 1e-12,
    };
  if (clips.length < LEAST_CLIPS) return notAsked('same-sound', FEW_CLIPS);
  const byWords = groupedBy(clips, ({ heard }) => heard);
  let [pairs, near, nearest] = [0, 0, 1];
  for (const same of byWords) {
    for (const [at, one] of same.entries()) {
      for (const other of same.slice(0, at)) {
        if (one.print === undefined || other.print === undefined) continue;
        pairs += 1;
        const distance = soundDistance(one.print, other.print);
        nearest = Math.min(nearest, distance);
        if (distance <= ONE_SOUND) near += 1;
      }
    }
  }
  if (pairs === 0) return notAsked('same-sound', 'no clips of the same words to compare');
  return {
    kind: 'same-sound',
    what: `${near} of ${pairs} pairs of clips of the same words are nearly one sound`,
    expected: `none; two sounds of the same words differ in a third of what is compared, these in ${Math.round(100 * nearest)} %`,
    chance: atLeast(near, pairs, NEAR_BY_CHANCE),
  };
}

/** Whether clips hold no speech. */
export function noSpeech({ checks }: Group): Answer {
  const prints = checks.flatMap(({ clips }) => clips.flatMap(({ print }) => print ?? []));
  if (prints.length < LEAST_CLIPS) return notAsked('no-speech', FEW_CLIPS);
  const still = prints.filter(({ speech }) => speech < SPEECH_DB).length;
  return {
    kind: 'no-speech',
    what: `in ${still} of ${prints.length} clips nothing stands out of the noise as speech does`,
    expected: `at most ${Math.max(1, Math.round(NO_SPEECH_BY_CHANCE * prints.length))}`,
    chance: atLeast(still, prints.length, NO_SPEECH_BY_CHANCE),
  };
}

/** Whether the cab is no louder when the engine is said to run. */
export function noEngine({ checks }: Group): Answer {
  const rises = checks.flatMap(({ clips }) => {
    const [on, off] = [rumbles(clips, true), rumbles(clips, false)];
    return on.length < 2 || off.length < 2 ? [] : [median(on) - median(off)];
  });
  if (rises.length < LEAST_COMPARED) return notAsked('no-engine', FEW_CLIPS);
  const silent = rises.filter((rise) => rise < ENGINE_DB).length;
  return {
    kind: 'no-engine',
    what: `in ${silent} of ${rises.length} checks no engine is heard where it is said to run`,
    expected: `at most ${Math.max(1, Math.round(NO_ENGINE_BY_CHANCE * rises.length))}, with a microphone in the open`,
    chance: atLeast(silent, rises.length, NO_ENGINE_BY_CHANCE),
  };
}

function rumbles(clips: readonly SpokenClip[], running: boolean): number[] {
  return clips.flatMap(({ engine, print }) => (engine === running && print !== undefined ? [print.rumble] : []));
}

const FEW_CLIPS = 'too few clips';
