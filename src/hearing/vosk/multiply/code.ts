/** Code of the WebAssembly binary format, as far as the multiplication needs it; see the specification's chapter 5, "Binary Format". */
export type Code = readonly number[];

/** LEB128 of an unsigned number. */
export function unsigned(value: number): number[] {
  const bytes: number[] = [];
  for (let left = value; ; left = Math.floor(left / 128)) {
    if (left < 128) return [...bytes, left];
    bytes.push((left % 128) + 128);
  }
}

/** LEB128 of a small signed number, -64 to 8191. */
function signed(value: number): number[] {
  return value < 64 ? [value & 127] : [(value & 127) | 128, value >> 7];
}

const simd = (op: number, ...rest: Code): Code => [0xfd, ...unsigned(op), ...rest];
/** Floats lie at multiples of four bytes. */
const at = (offset: number): Code => [2, ...unsigned(offset)];

export const get = (local: number): Code => [0x20, ...unsigned(local)];
export const set = (local: number, value: Code): Code => [...value, 0x21, ...unsigned(local)];
export const int = (value: number): Code => [0x41, ...signed(value)];
export const add = (a: Code, b: Code): Code => [...a, ...b, 0x6a];
export const sub = (a: Code, b: Code): Code => [...a, ...b, 0x6b];
export const mul = (a: Code, b: Code): Code => [...a, ...b, 0x6c];
export const and = (a: Code, b: Code): Code => [...a, ...b, 0x71];
export const shiftLeft = (a: Code, bits: number): Code => [...a, ...int(bits), 0x74];
export const differs = (a: Code, b: Code): Code => [...a, ...b, 0x47];
export const isLess = (a: Code, b: Code): Code => [...a, ...b, 0x48];
export const isMore = (a: Code, b: Code): Code => [...a, ...b, 0x4a];
export const loadInt = (address: Code): Code => [...address, 0x28, ...at(0)];
export const loadByte = (address: Code): Code => [...address, 0x2d, 0, 0];
export const isZeroFloat = (address: Code): Code => [...address, 0x2a, ...at(0), 0x43, 0, 0, 0, 0, 0x5b];
/** Four floats, and one float four times. */
export const loadFour = (address: Code, offset = 0): Code => [...address, ...simd(0, ...at(offset))];
export const loadSplat = (address: Code, offset = 0): Code => [...address, ...simd(9, ...at(offset))];
/** One float into a lane of four. */
export const loadLane = (address: Code, into: Code, lane: number): Code => [
  ...address,
  ...into,
  ...simd(86, ...at(0), lane),
];
export const storeFour = (address: Code, value: Code): Code => [...address, ...value, ...simd(11, ...at(0))];
export const zeroes: Code = simd(12, ...Array.from({ length: 16 }, () => 0));
export const addFour = (a: Code, b: Code): Code => [...a, ...b, ...simd(228)];
export const mulFour = (a: Code, b: Code): Code => [...a, ...b, ...simd(230)];
/** Four floats out of eight: 0 to 3 are those of `a`. */
export const pick = (a: Code, b: Code, ...lanes: readonly number[]): Code => [
  ...a,
  ...b,
  ...simd(13, ...lanes.flatMap((lane) => [4 * lane, 4 * lane + 1, 4 * lane + 2, 4 * lane + 3])),
];
export const block = (...body: readonly Code[]): Code => [0x02, 0x40, ...body.flat(), 0x0b];
/** Runs its body again while the condition at its end holds. */
export const loopWhile = (body: Code, condition: Code): Code => [0x03, 0x40, ...body, ...condition, 0x0d, 0, 0x0b];
/** Leaves the innermost block. */
export const leaveIf = (condition: Code): Code => [...condition, 0x0d, 0];
export const unless = (condition: Code, body: Code): Code => block(leaveIf(condition), body);
export const leave: Code = [0x0f];
