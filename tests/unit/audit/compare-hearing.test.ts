import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { sideBySide, type Said } from '../../../src/audit/compare-hearing.ts';

describe('two hearings side by side', () => {
  const said = fc
    .array(fc.constantFrom('cut out', 'cut in', 'both at eighty five', 'buzzer', 'settled'), { maxLength: 12 })
    .map((texts) => texts.map((heard): Said => ({ heard, confidence: 1 })));

  it('have every callout once, in its order', () => {
    fc.assert(
      fc.property(said, said, (first, second) => {
        const pairs = sideBySide(first, second);
        expect(pairs.flatMap((pair) => pair.first ?? [])).toEqual(first);
        expect(pairs.flatMap((pair) => pair.second ?? [])).toEqual(second);
      }),
    );
  });

  it('pair everything when nothing differs', () => {
    fc.assert(
      fc.property(said, (first) => {
        expect(sideBySide(first, first)).toEqual(first.map((each) => ({ first: each, second: each })));
      }),
    );
  });
});
