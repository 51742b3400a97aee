import { Bytes } from './bytes.ts';

/** One arc; labels are symbol numbers (0 is epsilon), the weight a cost (negative natural logarithm of a probability). */
export interface Arc {
  readonly input: number;
  readonly output: number;
  readonly cost: number;
  readonly to: number;
}

/** State 0 is the start. `final` is the cost of ending here; absent when the state is not final. */
export interface State {
  readonly final?: number;
  readonly arcs: readonly Arc[];
}

const FST_MAGIC = 2_125_659_606;
const SYMBOLS_MAGIC = 2_125_658_996;
const VECTOR_VERSION = 2;
const HAS_OUTPUT_SYMBOLS = 2;
/** Property bits: the machine is expanded and mutable. Sortedness is left for the reader to compute. */
const EXPANDED_MUTABLE = 3;

/**
 * The file form of OpenFST's `VectorFst<StdArc>` (its `fst.h` header, then states with their arcs), little-endian.
 * With `symbols` the output table is stored inside, as the publisher's small models do instead of `words.txt`.
 */
export function vectorFst(states: readonly State[], symbols?: readonly string[]): Uint8Array {
  const out = new Bytes();
  const arcCount = states.reduce((sum, state) => sum + state.arcs.length, 0);
  out.i32(FST_MAGIC).text('vector').text('standard').i32(VECTOR_VERSION);
  out.i32(symbols === undefined ? 0 : HAS_OUTPUT_SYMBOLS);
  out.i64(EXPANDED_MUTABLE).i64(0).i64(states.length).i64(arcCount);
  if (symbols !== undefined) {
    out.i32(SYMBOLS_MAGIC).text('words').i64(symbols.length).i64(symbols.length);
    symbols.forEach((symbol, number) => out.text(symbol).i64(number));
  }
  for (const state of states) {
    out.f32(state.final ?? Number.POSITIVE_INFINITY).i64(state.arcs.length);
    for (const arc of state.arcs) out.i32(arc.input).i32(arc.output).f32(arc.cost).i32(arc.to);
  }
  return out.done();
}

/** Composition looks arcs up by their output label, so they must be stored in that order. */
export function sortedByOutput(states: readonly State[]): State[] {
  return states.map((state) => ({
    ...state,
    arcs: [...state.arcs].sort((a, b) => a.output - b.output || a.input - b.input),
  }));
}
