import type { Chunk } from './gap-watch.ts';

// Runs in the AudioWorklet's own scope, which the DOM library does not describe.
declare const currentFrame: number;
declare const sampleRate: number;
declare class AudioWorkletProcessor {
  readonly port: { postMessage(message: Chunk, transfer: readonly ArrayBuffer[]): void };
}
declare function registerProcessor(name: string, processor: new () => AudioWorkletProcessor): void;

/** Copies the first channel of its input to the main thread, in chunks of about 20 ms. */
class Capture extends AudioWorkletProcessor {
  private chunk = new Float32Array(Math.ceil(sampleRate / 50 / 128) * 128);
  private filled = 0;
  private index = 0;

  process(inputs: readonly (readonly Float32Array[])[]): boolean {
    const block = inputs[0]?.[0];
    if (this.filled === 0) this.index = currentFrame;
    // An input without channels (the device is muted or gone) is silence, and time goes on.
    if (block !== undefined) this.chunk.set(block, this.filled);
    this.filled += block?.length ?? 128;
    if (this.filled >= this.chunk.length) {
      const samples = this.chunk;
      this.chunk = new Float32Array(samples.length);
      this.filled = 0;
      const message: Chunk = { samples, index: this.index };
      this.port.postMessage(message, [samples.buffer]);
    }
    return true;
  }
}

registerProcessor('capture', Capture);
