/** The words that numbers are made of. */
export const NUMBER_WORDS: ReadonlySet<string> = new Set(
  'oh zero one two three four five six seven eight nine niner ten eleven twelve thirteen fourteen fifteen sixteen seventeen eighteen nineteen twenty thirty forty fifty sixty seventy eighty ninety hundred'.split(
    ' ',
  ),
);
