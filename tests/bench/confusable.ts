import { isAdverse } from '../../src/check/cab.ts';
import type { CalloutEvent } from '../../src/check/event.ts';
import type { Meaning, SpokenReading } from '../../src/grammar/meaning.ts';
import { phonesOf } from './close-phrases.ts';
import { closeCues, pairs, type Pair } from './confusable-pairs.ts';
import { calledCue, closingReading, CUE_STEPS, openingReading, plainReading, type Treated } from './hearing-check.ts';
import { formsOf } from './hearing-material.ts';

/**
 * `npm run bench -- confusable`: what sounds most alike and means another thing, by the phones of the words: pressures, and the cues of a step.
 * Of each pair, what a check does when one was said and the other is heard with full confidence, so that only what the air can do tells.
 */
const FIRST = 10;
const LAST = 140;
/** Phones that may differ; a like one counts half. */
const CLOSE = { numbers: 1.5, cues: 2.5 };
const SHOWN = 24;

function callout(meaning: Meaning, heard: string): CalloutEvent {
  return { type: 'callout', at: 0, end: 2_000, heard, confidence: 1, source: 'voice', engine: 'vosk', meaning };
}

function reading(primary: number, secondary: number): SpokenReading {
  return { primary: { value: primary, unit: 'psi' }, secondary: { value: secondary, unit: 'psi' } };
}

/** The one taken for the other in one needle, with both needles at it. */
function mistaken(
  treat: (heard: readonly CalloutEvent[], truth: SpokenReading) => Treated,
  said: number,
  heard: number,
): string {
  const event = callout({ cues: [], reading: reading(heard, said) }, '');
  const { asked, taken } = treat([event], reading(said, said));
  if (asked) return 'asked';
  return taken.primary === undefined ? 'not taken' : 'TAKEN';
}

const CONTEXTS = {
  'nothing known': (heard: readonly CalloutEvent[]) => plainReading(heard),
  'opens a hold': openingReading,
  'closes a hold': closingReading,
};

async function numbers(): Promise<void> {
  const values = Array.from({ length: LAST - FIRST + 1 }, (_, at) => FIRST + at);
  const spoken = values.flatMap((value) => formsOf(value).map((text) => ({ text, of: value })));
  const phones = await phonesOf([...new Set(spoken.flatMap(({ text }) => text.split(' ')))]);
  const close = pairs(
    spoken.map((each) => ({ ...each, phones: phones(each.text) })),
    CLOSE.numbers,
    String,
  );
  // Either may be said, and the other heard.
  const ways = close.flatMap(({ said, heard, distance }) => [
    { said, heard, distance },
    { said: heard, heard: said, distance },
  ]);
  console.log(`Pressures from ${FIRST} to ${LAST} psi: ${close.length} pairs within ${CLOSE.numbers} phones\n`);
  for (const [name, treat] of Object.entries(CONTEXTS)) {
    const became = ways.map(({ said, heard }) => mistaken(treat, said.of, heard.of));
    const count = (what: string): number => became.filter((each) => each === what).length;
    console.log(
      `${name}: ${count('asked')} of ${ways.length} asked, ${count('not taken')} not taken, ${count('TAKEN')} taken`,
    );
  }
  console.log(`\nThe closest that a hold takes\n\n| phones | said | heard | ${Object.keys(CONTEXTS).join(' | ')} |`);
  console.log('|---|---|---|---|---|---|');
  const taken = ways.filter(({ said, heard }) =>
    [openingReading, closingReading].some((treat) => mistaken(treat, said.of, heard.of) === 'TAKEN'),
  );
  for (const { said, heard, distance } of taken.slice(0, SHOWN)) {
    const each = Object.values(CONTEXTS).map((treat) => mistaken(treat, said.of, heard.of));
    console.log(`| ${[distance, said.text, heard.text, ...each].join(' | ')} |`);
  }
  tellHidden(close);
}

/** What a hold may lose and fail, in psi, that a mistaken second reading would hide: from over 2 (the strictest limit a minute) to what leaks do. */
const HIDDEN = { from: 3, to: 15 };

/** The needles fell from the higher to the lower, and the higher is heard again: no air can tell that. */
function tellHidden(close: readonly Pair<number>[]): void {
  const hidden = close.filter(({ said, heard }) => {
    const drop = Math.abs(said.of - heard.of);
    const high = Math.max(said.of, heard.of);
    const again = callout({ cues: [], reading: reading(high, high) }, '');
    return (
      drop >= HIDDEN.from &&
      drop <= HIDDEN.to &&
      closingReading([again], reading(high, high)).taken.primary !== undefined
    );
  });
  console.log(
    `\nA drop of ${HIDDEN.from} to ${HIDDEN.to} psi in a hold is hidden by ${hidden.length} pairs, when nothing but the ear tells them apart:\n`,
  );
  for (const { said, heard, distance } of hidden) console.log(`- ${distance}: “${said.text}” and “${heard.text}”`);
}

async function cues(): Promise<void> {
  console.log(`\nCues of one step within ${CLOSE.cues} phones, nothing called before\n`);
  console.log('| step | phones | said | heard | this is |\n|---|---|---|---|---|');
  for (const { step } of CUE_STEPS) {
    const close = await closeCues(step, CLOSE.cues);
    for (const { said, heard, distance } of close) {
      // The way that matters: what is adverse is said, and what is not is heard.
      const [from, to] = isAdverse(said.of) || said.of.startsWith('denied') ? [said, heard] : [heard, said];
      const became = calledCue(step, callout({ cues: [to.of] }, to.text));
      console.log(`| ${[step, distance, `${from.text} (${from.of})`, `${to.text} (${to.of})`, became].join(' | ')} |`);
    }
  }
}

await numbers();
await cues();
