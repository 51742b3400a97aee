/**
 * Filler: a loop over all phones that competes with the grammar, so that speech which is not one of the callouts is
 * taken by the loop and not forced into the nearest callout.
 */

/** The phones of the CMU en-us model, without its silence and noise units. */
const PHONES = [
  'AA', 'AE', 'AH', 'AO', 'AW', 'AY', 'B', 'CH', 'D', 'DH', 'EH', 'ER', 'EY', 'F', 'G', 'HH', 'IH', 'IY', 'JH', 'K',
  'L', 'M', 'N', 'NG', 'OW', 'OY', 'P', 'R', 'S', 'SH', 'T', 'TH', 'UH', 'UW', 'V', 'W', 'Y', 'Z', 'ZH',
] as const; // prettier-ignore

const PREFIX = 'filler_';

/** One dictionary word per phone, such as `filler_aa AA`. */
export const FILLER_WORDS: readonly (readonly [word: string, phones: string])[] = PHONES.map((phone) => [
  PREFIX + phone.toLowerCase(),
  phone,
]);

/** The loop as a grammar of its own. */
export function fillerGrammar(): string {
  const phones = FILLER_WORDS.map(([word]) => word).join(' | ');
  return `#JSGF V1.0;\ngrammar filler;\npublic <active> = (${phones})+;\n`;
}
