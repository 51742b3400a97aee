/** Collects little-endian binary fields, as Kaldi and OpenFST write them. */
export class Bytes {
  #buffer = new DataView(new ArrayBuffer(1024));
  #length = 0;

  i32(value: number): this {
    this.#room(4).setInt32(this.#length, value, true);
    this.#length += 4;
    return this;
  }

  i64(value: number): this {
    this.#room(8).setBigInt64(this.#length, BigInt(value), true);
    this.#length += 8;
    return this;
  }

  f32(value: number): this {
    this.#room(4).setFloat32(this.#length, value, true);
    this.#length += 4;
    return this;
  }

  /** A UTF-8 string after its length in bytes. */
  text(value: string): this {
    const encoded = new TextEncoder().encode(value);
    this.i32(encoded.length).#room(encoded.length);
    new Uint8Array(this.#buffer.buffer).set(encoded, this.#length);
    this.#length += encoded.length;
    return this;
  }

  done(): Uint8Array {
    return new Uint8Array(this.#buffer.buffer.slice(0, this.#length));
  }

  #room(size: number): DataView {
    if (this.#length + size > this.#buffer.byteLength) {
      const larger = new Uint8Array(2 * (this.#length + size));
      larger.set(new Uint8Array(this.#buffer.buffer, 0, this.#length));
      this.#buffer = new DataView(larger.buffer);
    }
    return this.#buffer;
  }
}
