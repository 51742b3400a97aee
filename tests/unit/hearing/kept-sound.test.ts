import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { keepSound } from '../../../src/hearing/kept-sound.ts';

describe('sound that is kept', () => {
  it('is what came, but for what was forgotten, in pieces of any length', () => {
    const piece = fc.integer({ min: 0, max: 9000 });
    fc.assert(
      fc.property(fc.array(fc.tuple(piece, piece), { maxLength: 12 }), fc.nat(1000), (pieces, first) => {
        const kept = keepSound(first);
        let next = first;
        let from = first;
        for (const [length, forgotten] of pieces) {
          kept.append(Float32Array.from({ length }, (_, i) => next + i));
          next += length;
          from = Math.min(next, from + forgotten);
          kept.forget(from);
          expect([kept.from, kept.to]).toEqual([from, next]);
          const all = kept.cut(first, next + 10);
          expect([all.length, all[0], all.at(-1)]).toEqual([
            next - from,
            ...(next > from ? [from, next - 1] : [undefined, undefined]),
          ]);
        }
      }),
    );
  });

  it('gives a copy', () => {
    const kept = keepSound(0);
    kept.append(Float32Array.of(1, 2, 3));
    kept.cut(0, 2).fill(9);
    expect([...kept.cut(0, 3)]).toEqual([1, 2, 3]);
  });
});
