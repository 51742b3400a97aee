import * as c from './code.ts';
import type { Code } from './code.ts';

/** Where the arguments of `sgemm` in BLAS stand, all of them pointers: the transpositions of A and B are the first two. */
const ARGUMENTS = { m: 2, n: 3, k: 4, alpha: 5, a: 6, lda: 7, b: 8, ldb: 9, beta: 10, c: 11, ldc: 12 } as const;
const TRANSPOSED = 'T'.charCodeAt(0);
const AS_IT_IS = 'N'.charCodeAt(0);
/** Columns of B that are worked on side by side: as many chains of additions as a processor follows at once. */
const WIDTHS = [8, 4, 2, 1] as const;
const WIDEST = 8;
const FLOAT = 4;

const INTEGERS = ['m', 'n', 'k', 'lda', 'ldb', 'ldc', 'i', 'j', 'left', 'row', 'at', 'out'] as const;
const VECTORS = ['alpha', 'beta', 'a0', 'a1', 'a2', 'a3', 'b0', 'b1', 'b2', 'b3'] as const;
const TURNED = ['b0', 'b1', 'b2', 'b3'] as const;
type Local = (typeof INTEGERS | typeof VECTORS)[number] | `column${number}` | `sum${number}`;
const EACH = Array.from({ length: WIDEST }, (_, nth) => nth);
const LOCALS: readonly Local[] = [
  ...INTEGERS,
  ...EACH.map((nth) => `column${nth}` as const),
  ...VECTORS,
  ...EACH.map((nth) => `sum${nth}` as const),
];

/** The locals that `multiplyTransposed` needs beside those that are there, as the binary format lists them: so many of a type. */
export const MULTIPLY_LOCALS: readonly (readonly [count: number, type: number])[] = [
  [INTEGERS.length + WIDEST, 0x7f],
  [VECTORS.length + WIDEST, 0x7b],
];

/**
 * Code for the beginning of an `sgemm`, its own locals numbered from `first` on. Where C := alpha·Aᵀ·B + beta·C is asked for and the
 * rows of C are a multiple of four, it does that, four rows at once, and returns; it lets all else pass. Each element of C is the sum
 * of the same products in the same order as in the reference BLAS, rounded at each step: the same to the last bit.
 */
export function multiplyTransposed(first: number): Code {
  const get = (name: Local): Code => c.get(first + LOCALS.indexOf(name));
  const set = (name: Local, value: Code): Code => c.set(first + LOCALS.indexOf(name), value);
  const grow = (name: Local, by: Code): Code => set(name, c.add(get(name), by));
  const argument = (name: keyof typeof ARGUMENTS): Code => c.get(ARGUMENTS[name]);
  /** The address of column `nth` after one, in a matrix of columns `stride` apart. */
  const column = (from: Code, stride: Code, nth: number): Code =>
    nth === 0 ? from : c.add(from, c.mul(stride, c.int(nth)));
  const sum = (nth: number, a: Local, b: Code): Code =>
    set(`sum${nth}`, c.addFour(get(`sum${nth}`), c.mulFour(get(a), b)));
  const each = (count: number, code: (nth: number) => Code): Code =>
    Array.from({ length: count }, (_, nth) => code(nth)).flat();

  /** Four steps along the columns: four rows of Aᵀ are turned, so that each vector has one step of all four. */
  const fourSteps = (width: number): Code => [
    ...TURNED.flatMap((name, nth) => set(name, c.loadFour(column(get('at'), get('lda'), nth)))),
    ...set('a0', c.pick(get('b0'), get('b1'), 0, 4, 1, 5)),
    ...set('a1', c.pick(get('b0'), get('b1'), 2, 6, 3, 7)),
    ...set('a2', c.pick(get('b2'), get('b3'), 0, 4, 1, 5)),
    ...set('a3', c.pick(get('b2'), get('b3'), 2, 6, 3, 7)),
    ...set('b0', c.pick(get('a0'), get('a2'), 0, 1, 4, 5)),
    ...set('b1', c.pick(get('a0'), get('a2'), 2, 3, 6, 7)),
    ...set('b2', c.pick(get('a1'), get('a3'), 0, 1, 4, 5)),
    ...set('b3', c.pick(get('a1'), get('a3'), 2, 3, 6, 7)),
    ...TURNED.flatMap((name, step) =>
      each(width, (nth) => sum(nth, name, c.loadSplat(get(`column${nth}`), step * FLOAT))),
    ),
  ];
  const oneStep = (width: number): Code => [
    ...set('b0', c.zeroes),
    ...each(4, (lane) => set('b0', c.loadLane(column(get('at'), get('lda'), lane), get('b0'), lane))),
    ...each(width, (nth) => sum(nth, 'b0', c.loadSplat(get(`column${nth}`)))),
  ];
  const along = (width: number, steps: number, code: Code): Code =>
    c.loopWhile(
      [
        ...code,
        ...grow('at', c.int(steps * FLOAT)),
        ...each(width, (nth) => grow(`column${nth}`, c.int(steps * FLOAT))),
        ...set('left', c.sub(get('left'), c.int(steps))),
      ],
      c.isMore(get('left'), c.int(steps - 1)),
    );
  const write = (nth: number): Code => [
    ...set('at', column(get('out'), get('ldc'), nth)),
    ...set(`sum${nth}`, c.mulFour(get('alpha'), get(`sum${nth}`))),
    ...c.unless(
      c.isZeroFloat(argument('beta')),
      set(`sum${nth}`, c.addFour(get(`sum${nth}`), c.mulFour(get('beta'), c.loadFour(get('at'))))),
    ),
    ...c.storeFour(get('at'), get(`sum${nth}`)),
  ];
  /** Four rows of C in `width` columns. */
  const tile = (width: number): Code => [
    ...set('at', get('row')),
    ...set('left', get('k')),
    ...each(width, (nth) => [
      ...set(`sum${nth}`, c.zeroes),
      ...set(`column${nth}`, c.add(argument('b'), c.mul(c.add(get('j'), c.int(nth)), get('ldb')))),
    ]),
    ...c.unless(c.isLess(get('left'), c.int(4)), along(width, 4, fourSteps(width))),
    ...c.unless(c.isLess(get('left'), c.int(1)), along(width, 1, oneStep(width))),
    ...each(width, write),
  ];
  const columns = (width: number): Code =>
    c.unless(
      c.isMore(c.add(get('j'), c.int(width)), get('n')),
      c.loopWhile(
        [
          ...set('i', c.int(0)),
          ...set('row', argument('a')),
          ...set('out', c.add(argument('c'), c.mul(get('j'), get('ldc')))),
          ...c.loopWhile(
            [
              ...tile(width),
              ...grow('i', c.int(4)),
              ...grow('row', c.mul(get('lda'), c.int(4))),
              ...grow('out', c.int(4 * FLOAT)),
            ],
            c.isLess(get('i'), get('m')),
          ),
          ...grow('j', c.int(width)),
        ],
        c.isLess(c.add(get('j'), c.int(width - 1)), get('n')),
      ),
    );

  return c.block(
    c.leaveIf(c.differs(c.loadByte(c.get(0)), c.int(TRANSPOSED))),
    c.leaveIf(c.differs(c.loadByte(c.get(1)), c.int(AS_IT_IS))),
    ...(['m', 'n', 'k'] as const).flatMap((name) => [
      set(name, c.loadInt(argument(name))),
      c.leaveIf(c.isLess(get(name), c.int(1))),
    ]),
    c.leaveIf(c.differs(c.and(get('m'), c.int(3)), c.int(0))),
    c.leaveIf(c.isZeroFloat(argument('alpha'))),
    set('alpha', c.loadSplat(argument('alpha'))),
    set('beta', c.loadSplat(argument('beta'))),
    ...(['lda', 'ldb', 'ldc'] as const).map((name) => set(name, c.shiftLeft(c.loadInt(argument(name)), 2))),
    set('j', c.int(0)),
    ...WIDTHS.map(columns),
    c.leave,
  );
}
