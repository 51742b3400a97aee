import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { faster, withMultiplication } from '../../../../../src/hearing/vosk/multiply/faster.ts';
import { drawn, seedOfRun } from '../../../../support/seed.ts';

const bytes = (...numbers: readonly number[]): Uint8Array<ArrayBuffer> => Uint8Array.from(numbers);
const section = (id: number, ...content: readonly number[]): number[] => [id, content.length, ...content];
const named = (name: string, ...rest: readonly number[]): number[] => [
  name.length,
  ...new TextEncoder().encode(name),
  ...rest,
];

/** A module with a memory, a first function that is none of ours, and an `sgemm` that only traps, after a local of its own. */
const TRAPS = bytes(
  ...[0x00, 0x61, 0x73, 0x6d, 1, 0, 0, 0],
  ...section(1, 2, 0x60, 0, 0, 0x60, 13, ...Array.from({ length: 13 }, () => 0x7f), 0),
  ...section(3, 2, 0, 1),
  ...section(5, 1, 0, 1),
  ...section(7, 2, ...named('memory', 2, 0), ...named('sgemm', 0, 1)),
  ...section(10, 2, 2, 0, 0x0b, 5, 1, 1, 0x7c, 0x00, 0x0b),
);

interface Asked {
  readonly m: number;
  readonly n: number;
  readonly k: number;
  readonly alpha: number;
  readonly beta: number;
  readonly transposed?: readonly [a: string, b: string];
}

const PLACES = { m: 8, n: 12, k: 16, alpha: 20, lda: 24, ldb: 28, beta: 32, ldc: 36, a: 64, b: 16_384, c: 32_768 };
/** Each column is longer than what is used of it. */
const APART = 3;

/** What the changed module makes of C, and what the reference BLAS does: one product after the other, rounded to a float at each step. */
async function multiplied({ m, n, k, alpha, beta, transposed = ['T', 'N'] }: Asked, random: () => number) {
  const changed = withMultiplication(TRAPS, 1);
  if (changed === undefined) throw new Error('the module has a second function');
  const { instance } = await WebAssembly.instantiate(changed);
  const { memory, sgemm } = instance.exports as { memory: WebAssembly.Memory; sgemm: (...pointers: number[]) => void };
  const floats = new Float32Array(memory.buffer);
  const integers = new Int32Array(memory.buffer);
  for (let each = PLACES.a / 4; each < floats.length; each += 1) floats[each] = 2 * random() - 1;
  new Uint8Array(memory.buffer).set(transposed.map((letter) => letter.charCodeAt(0)));
  const [lda, ldb, ldc] = [k + APART, k + APART, m + APART];
  for (const [name, value] of Object.entries({ m, n, k, lda, ldb, ldc }))
    integers[PLACES[name as keyof typeof PLACES] / 4] = value;
  floats.set([alpha], PLACES.alpha / 4);
  floats.set([beta], PLACES.beta / 4);
  const wanted = floats.slice();
  const [a, b, c] = [PLACES.a / 4, PLACES.b / 4, PLACES.c / 4];
  for (let j = 0; j < n; j += 1) {
    for (let i = 0; i < m; i += 1) {
      let sum = 0;
      for (let l = 0; l < k; l += 1)
        sum = Math.fround(sum + Math.fround((wanted[a + l + i * lda] ?? NaN) * (wanted[b + l + j * ldb] ?? NaN)));
      const place = c + i + j * ldc;
      const scaled = Math.fround(Math.fround(alpha) * sum);
      const before = Math.fround(Math.fround(beta) * (wanted[place] ?? NaN));
      wanted[place] = beta === 0 ? scaled : Math.fround(scaled + before);
    }
  }
  const { m: atM, n: atN, k: atK, alpha: atAlpha, a: atA, lda: atLda, b: atB, ldb: atLdb, ...rest } = PLACES;
  sgemm(0, 1, atM, atN, atK, atAlpha, atA, atLda, atB, atLdb, rest.beta, rest.c, rest.ldc);
  return { got: new Uint32Array(floats.buffer), wanted: new Uint32Array(wanted.buffer) };
}

describe(`the multiplication put before the engine’s own; seed ${seedOfRun()}`, () => {
  it.each([
    { m: 4, n: 1, k: 1, alpha: 1, beta: 0 },
    { m: 8, n: 2, k: 3, alpha: 1, beta: 1 },
    { m: 12, n: 7, k: 16, alpha: 0.3, beta: 0 },
    { m: 4, n: 8, k: 30, alpha: 1, beta: 1 },
    { m: 16, n: 23, k: 41, alpha: 1.7, beta: -0.6 },
  ])('gives each element of $m by $n, of $k products, to the last bit and touches nothing else', async (asked) => {
    const { got, wanted } = await multiplied(asked, drawn('matrices'));
    expect(got).toEqual(wanted);
  });

  it.each([
    ['rows that are not in fours', { m: 6, n: 2, k: 4, alpha: 1, beta: 0 }],
    ['no products', { m: 4, n: 2, k: 0, alpha: 1, beta: 0 }],
    ['nothing but what was there', { m: 4, n: 2, k: 4, alpha: 0, beta: 1 }],
    ['a matrix as it is', { m: 4, n: 2, k: 4, alpha: 1, beta: 0, transposed: ['N', 'N'] }],
    ['both transposed', { m: 4, n: 2, k: 4, alpha: 1, beta: 0, transposed: ['T', 'T'] }],
  ] as const)('leaves %s to it', async (_, asked) => {
    await expect(multiplied(asked, drawn('matrices'))).rejects.toThrow(WebAssembly.RuntimeError);
  });

  it('is put into the engine that is installed, and into no other', () => {
    const engine = new Uint8Array(readFileSync('node_modules/vosk-browser/dist/vosk.wasm'));
    expect(faster(engine)?.length).toBeGreaterThan(engine.length);
    expect(faster(TRAPS)).toBeUndefined();
    expect(faster(engine.slice(1))).toBeUndefined();
  });
});
