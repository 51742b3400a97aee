import { describe, expect, it } from 'vitest';
import { slidingProducts } from '../../../../src/hearing/own-voice/sliding-products.ts';
import { noiseSource } from '../signals.ts';

describe('The products of a piece of sound with another', () => {
  it.each([
    { piece: 1, sound: 1 },
    { piece: 512, sound: 671 },
    { piece: 300, sound: 1_500 },
  ])('are those of all its places, of $piece samples along $sound', (lengths) => {
    const random = noiseSource(3);
    const [piece, sound] = [lengths.piece, lengths.sound].map((length) => Float32Array.from({ length }, random)) as [
      Float32Array,
      Float32Array,
    ];
    const summed = Array.from({ length: sound.length - piece.length + 1 }, (_, k) =>
      piece.reduce((sum, sample, n) => sum + sample * (sound[n + k] ?? 0), 0),
    );
    const products = slidingProducts(piece, sound);
    expect(products).toHaveLength(summed.length);
    summed.forEach((sum, k) => expect(products[k]).toBeCloseTo(sum, 9));
  });
});
