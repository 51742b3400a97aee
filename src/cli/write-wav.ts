import { SAMPLE_RATE } from '../units/time.ts';

/** A mono 16-bit PCM WAV file at 16 kHz of samples of +-1. */
export function writeWav(samples: Float32Array): Uint8Array {
  const bytes = Buffer.alloc(44 + samples.length * 2);
  bytes.write('RIFF', 0, 'latin1');
  bytes.writeUInt32LE(36 + samples.length * 2, 4);
  bytes.write('WAVEfmt ', 8, 'latin1');
  bytes.writeUInt32LE(16, 16);
  bytes.writeUInt16LE(1, 20);
  bytes.writeUInt16LE(1, 22);
  bytes.writeUInt32LE(SAMPLE_RATE, 24);
  bytes.writeUInt32LE(SAMPLE_RATE * 2, 28);
  bytes.writeUInt16LE(2, 32);
  bytes.writeUInt16LE(16, 34);
  bytes.write('data', 36, 'latin1');
  bytes.writeUInt32LE(samples.length * 2, 40);
  samples.forEach((sample, i) =>
    bytes.writeInt16LE(Math.round(Math.max(-1, Math.min(1, sample)) * 32_767), 44 + i * 2),
  );
  return bytes;
}
