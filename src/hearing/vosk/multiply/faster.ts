import { unsigned } from './code.ts';
import { MULTIPLY_LOCALS, multiplyTransposed } from './multiply.ts';

/** The engine of the package as it is pinned, told by its length, and which of its functions is the `sgemm`. */
const ENGINE = { bytes: 2_992_690, sgemm: 1270 };
const SGEMM_ARGUMENTS = 13;
const CODE_SECTION = 10;

/**
 * The engine's wasm with a quicker multiplication of matrices, in which it spends nine tenths of its time: see `multiply.ts`. Undefined
 * where it is not the one that is known here, or the machine has no vectors; then it is used as it is.
 */
export function faster(wasm: Uint8Array<ArrayBuffer>): Uint8Array<ArrayBuffer> | undefined {
  if (wasm.length !== ENGINE.bytes) return undefined;
  const changed = withMultiplication(wasm, ENGINE.sgemm);
  return changed !== undefined && WebAssembly.validate(changed) ? changed : undefined;
}

/** A module whose function `nth` of those it defines, an `sgemm`, begins with ours. Undefined where there is none. */
export function withMultiplication(wasm: Uint8Array<ArrayBuffer>, nth: number): Uint8Array<ArrayBuffer> | undefined {
  const read = reader(wasm, 8);
  while (read.at < wasm.length) {
    const begin = read.at;
    const section = read.byte();
    const length = read.number();
    const end = read.at + length;
    if (section !== CODE_SECTION) {
      read.at = end;
      continue;
    }
    const bodiesAt = read.at;
    if (read.number() <= nth) return undefined;
    for (let each = 0; each < nth; each += 1) read.skip();
    const bodyAt = read.at;
    const size = read.number();
    const localsAt = read.at;
    const groups = read.number();
    const groupsAt = read.at;
    let locals = 0;
    for (let group = 0; group < groups; group += 1) {
      locals += read.number();
      read.byte();
    }
    const code = wasm.subarray(read.at, localsAt + size);
    const body = [
      Uint8Array.from(unsigned(groups + MULTIPLY_LOCALS.length)),
      wasm.subarray(groupsAt, read.at),
      Uint8Array.from(MULTIPLY_LOCALS.flatMap(([count, type]) => [...unsigned(count), type])),
      Uint8Array.from(multiplyTransposed(SGEMM_ARGUMENTS + locals)),
      code,
    ];
    const sized = [Uint8Array.from(unsigned(lengthOf(body))), ...body];
    const bodies = [wasm.subarray(bodiesAt, bodyAt), ...sized, wasm.subarray(localsAt + size, end)];
    return joined([
      wasm.subarray(0, begin + 1),
      Uint8Array.from(unsigned(lengthOf(bodies))),
      ...bodies,
      wasm.subarray(end),
    ]);
  }
  return undefined;
}

interface Reader {
  at: number;
  byte(): number;
  /** LEB128, unsigned. */
  number(): number;
  /** Over something that begins with its length. */
  skip(): void;
}

function reader(bytes: Uint8Array, at: number): Reader {
  return {
    at,
    byte() {
      return bytes[this.at++] ?? 0;
    },
    number() {
      let value = 0;
      for (let scale = 1; ; scale *= 128) {
        const byte = this.byte();
        value += (byte & 127) * scale;
        if (byte < 128) return value;
      }
    },
    skip() {
      const length = this.number();
      this.at += length;
    },
  };
}

function lengthOf(parts: readonly Uint8Array[]): number {
  return parts.reduce((sum, { length }) => sum + length, 0);
}

function joined(parts: readonly Uint8Array[]): Uint8Array<ArrayBuffer> {
  const all = new Uint8Array(lengthOf(parts));
  let at = 0;
  for (const part of parts) {
    all.set(part, at);
    at += part.length;
  }
  return all;
}
