import { GENERAL_BAD } from './item.ts';
import { nearForms } from './near-words.ts';

/** What denies, and what takes back: it turns a good word into a bad one, and a callout into none. */
const AGAINST = [
  ...[
    'not',
    'never',
    'no longer',
    "isn't",
    "aren't",
    "doesn't",
    "don't",
    "didn't",
    "won't",
    "can't",
    'cannot',
    'except',
    'but',
  ],
  ...["hasn't", "haven't", "wasn't", "couldn't", 'hardly', 'barely', 'without', 'unable'],
  ...[
    'that was',
    'those were',
    'that is not',
    "that's not",
    'mistake',
    'false alarm',
    'oops',
    'actually',
    'i mean',
    'meant',
    'should be',
    'should have been',
    'disregard',
    'forget that',
    'strike that',
    'take that back',
    'take it back',
    'only',
    'though',
  ],
];
const WRONG = [
  'wrong',
  'damage',
  'defect',
  'defects',
  'fails',
  'failed',
  'failing',
  'problem',
  'trouble',
  'fault',
  'faulty',
  'flat',
  'smoke',
  // How a rig, its air and its lights misbehave. Everyday words; common practice, no source.
  ...[
    'weak',
    'soft',
    'spongy',
    'sloppy',
    'faint',
    'dark',
    'flicker',
    'flickers',
    'flickering',
    'useless',
    'quit',
    'junk',
  ],
  ...['nobody', 'nothing', 'none', 'negative'],
  ...[
    'bulging',
    'weeping',
    'sagging',
    'hanging',
    'clunking',
    'grinding',
    'squealing',
    'hissing',
    'wobbling',
    'wobbles',
  ],
  ...['creep', 'creeps', 'creeping', 'crept', 'slid', 'slides', 'sliding', 'slipped', 'slipping', 'jumped', 'lurched'],
  ...['drag', 'drags', 'dragging', 'lagging', 'sinking', 'sinks', 'faded', 'fading', 'fades', 'halfway'],
];

/** General words that also tell of what a rig does in a check as it should: “low air”, “going out”. */
const ALSO_GOOD = new Set<string>(['out', 'low', 'dim', 'empty', 'stays on', 'stay on']);
const STRONG = GENERAL_BAD.filter((words) => !ALSO_GOOD.has(words));

/** That there are none is no trouble; “no, leaks” is. */
const NONE =
  /\bno (?:(?:air|audible|oil|fluid|coolant|water|visible|obvious) )*(?:leaks?|leaking|cracks?|damage|defects?|problems?|trouble|faults?|issues?)\b/g;

/**
 * True for words in which something is not as it should be, was denied or was taken back, although they mean nothing to the grammar.
 * `own`: words of a defect where they were said; without them those of any rig.
 */
export function tellsOfTrouble(heard: string, own?: readonly string[]): boolean {
  const lower = heard.toLowerCase().replace(/[\u2018\u2019]/g, "'");
  const words = ` ${lower
    .replace(NONE, ' ')
    .replace(/'s\b/g, ' is')
    .replace(/[^a-z']+/g, ' ')
    .trim()} `;
  // “No” that is more than an answer denies something, and so does one that is the answer of another: “helper: nope”.
  if (/^ (?:no|nope) \S| (?:no|nope) $/.test(words)) return true;
  const bad = [...AGAINST, ...WRONG, ...(own === undefined ? STRONG : [...GENERAL_BAD, ...own])];
  if (bad.some((each) => words.includes(` ${each} `))) return true;
  const single = new Set(bad);
  return words.split(' ').some((word) => nearForms(word).some((form) => form !== '' && single.has(form)));
}
