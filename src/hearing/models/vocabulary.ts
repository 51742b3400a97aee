const FST_MAGIC = 2_125_659_606;
const SYMBOLS_MAGIC = 2_125_658_996;
const HAS_INPUT_SYMBOLS = 1;
const HAS_OUTPUT_SYMBOLS = 2;
/** version, flags, properties, start, states, arcs: two 32-bit and four 64-bit fields; the flags are the second. */
const HEADER_FIELDS = 40;

/** A model's words and their numbers in its graphs. */
export type Vocabulary = ReadonlyMap<string, number>;

/** The words of a `words.txt`: a symbol and its number a line. */
export function wordsOfTable(text: string): Vocabulary {
  const words = new Map<string, number>();
  for (const line of text.split('\n')) {
    const [word, number] = line.trim().split(/\s+/);
    if (word !== undefined && number !== undefined) words.set(word, Number(number));
  }
  return words;
}

/**
 * The output symbols stored inside an OpenFST file, where the publisher's small models keep their word list; undefined when it
 * has none. Layout: OpenFST's `fst.cc` (header) and `symbol-table.cc`, little-endian.
 */
export function wordsOfGraph(bytes: Uint8Array): Vocabulary | undefined {
  const reader = new SymbolReader(bytes);
  try {
    if (reader.int32() !== FST_MAGIC) return undefined;
    reader.text();
    reader.text();
    const flags = reader.header(HEADER_FIELDS);
    if ((flags & HAS_INPUT_SYMBOLS) !== 0) reader.symbols();
    return (flags & HAS_OUTPUT_SYMBOLS) === 0 ? undefined : reader.symbols();
  } catch (error) {
    if (error instanceof RangeError) return undefined;
    throw error;
  }
}

/** Reading past the end throws RangeError, as DataView does. */
class SymbolReader {
  readonly #view: DataView;
  readonly #bytes: Uint8Array;
  #at = 0;

  constructor(bytes: Uint8Array) {
    this.#bytes = bytes;
    this.#view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  }

  int32(): number {
    this.#at += 4;
    return this.#view.getInt32(this.#at - 4, true);
  }

  int64(): number {
    this.#at += 8;
    return Number(this.#view.getBigInt64(this.#at - 8, true));
  }

  text(): string {
    const length = this.int32();
    if (length < 0 || this.#at + length > this.#bytes.length) throw new RangeError('a string runs past the end');
    this.#at += length;
    return new TextDecoder().decode(this.#bytes.subarray(this.#at - length, this.#at));
  }

  /** Skips the fixed part of the header and returns its flags. */
  header(size: number): number {
    const flags = this.#view.getInt32(this.#at + 4, true);
    this.#at += size;
    return flags;
  }

  symbols(): Vocabulary {
    if (this.int32() !== SYMBOLS_MAGIC) throw new RangeError('no symbol table where one was announced');
    this.text();
    this.int64();
    const count = this.int64();
    const words = new Map<string, number>();
    for (let i = 0; i < count; i += 1) {
      const word = this.text();
      words.set(word, this.int64());
    }
    return words;
  }
}
