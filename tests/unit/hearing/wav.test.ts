import { describe, expect, it } from 'vitest';
import { WaveFile } from 'wavefile';
import { readWav, writeWav } from '../../../src/hearing/wav.ts';

const LEFT = [0, 0.5, -0.5, 0.25, -1, 0.999];
const RIGHT = [0.1, 0.2, 0.3, 0.4, 0.5, 0.6];

/** Written by a general-purpose library, not by us. */
function libraryWav(
  rate: number,
  depth: '16' | '24' | '32' | '32f',
  channels: readonly (readonly number[])[],
): Uint8Array {
  const scale = depth === '32f' ? 1 : 2 ** (Number(depth) - 1);
  const wav = new WaveFile();
  wav.fromScratch(
    channels.length,
    rate,
    depth,
    channels.map((each) => Float64Array.from(each, (x) => (depth === '32f' ? x : Math.round(x * scale)))),
  );
  return wav.toBuffer();
}

function read(bytes: Uint8Array): ReturnType<typeof readWav> & { ok: true } {
  const outcome = readWav(bytes, 'take.wav');
  if (!outcome.ok) throw new Error(outcome.problem.what);
  return outcome;
}

function refusal(bytes: Uint8Array): string {
  const outcome = readWav(bytes, 'take.wav');
  return outcome.ok ? 'was read' : `${outcome.problem.where ?? ''}: ${outcome.problem.what}`;
}

describe('reading a WAV file made by another program', () => {
  for (const depth of ['16', '24', '32', '32f'] as const) {
    for (const rate of [8000, 44_100, 48_000]) {
      it(`reads ${depth} bit at ${rate} Hz, and the first of two channels`, () => {
        const { value } = read(libraryWav(rate, depth, [LEFT, RIGHT]));
        expect(value.rate).toBe(rate);
        expect(value.problem).toBeUndefined();
        expect(value.samples.length).toBe(LEFT.length);
        LEFT.forEach((x, i) => expect(value.samples[i]).toBeCloseTo(x, 4));
      });
    }
  }

  it('skips chunks that it does not know, also of odd length', () => {
    const plain = writeWav(Float32Array.from(LEFT), 16_000);
    const extra = new TextEncoder().encode('note\u0003\0\0\0abc\0');
    const bytes = new Uint8Array([...plain.slice(0, 12), ...extra, ...plain.slice(12)]);
    expect(read(bytes).value.samples[1]).toBeCloseTo(0.5, 4);
  });

  it('takes the length of a piped recording for what it is', () => {
    const bytes = writeWav(Float32Array.from(LEFT), 16_000);
    new DataView(bytes.buffer).setUint32(40, 0xffff_ffff, true);
    const { value } = read(bytes);
    expect(value.samples.length).toBe(LEFT.length);
    expect(value.problem).toBeUndefined();
  });
});

describe('a WAV file that is damaged', () => {
  const whole = libraryWav(16_000, '16', [LEFT]);

  it('is read as far as it goes when it is cut short, and says so with both lengths', () => {
    const { value } = read(whole.slice(0, 44 + 7));
    expect(value.samples.length).toBe(3);
    expect(value.problem?.what).toMatch(/12 bytes.*7 are there/);
    expect(value.problem?.where).toBe('take.wav, byte 51');
  });

  it('is refused with what and where', () => {
    expect(refusal(new Uint8Array(0))).toBe('take.wav: The file is empty.');
    expect(refusal(new TextEncoder().encode('ID3 this is an mp3 file'))).toMatch(/byte 0: This is not a WAV file/);
    expect(refusal(whole.slice(0, 20))).toMatch(/byte 20: The description of the sound is cut short/);
    expect(refusal(whole.slice(0, 36))).toMatch(/byte 36: The file ends before its sound/);
    expect(refusal(whole.slice(0, 44))).toMatch(/byte 44: The file holds no sound/);
  });

  it('is refused when its rate is zero or its codec is compressed', () => {
    const silent = whole.slice();
    new DataView(silent.buffer).setUint32(24, 0, true);
    expect(refusal(silent)).toMatch(/byte 24: The sample rate is 0 Hz/);
    const adpcm = whole.slice();
    new DataView(adpcm.buffer).setUint16(20, 2, true);
    expect(refusal(adpcm)).toMatch(/byte 20: The sound is of a kind that is not read here: codec 2/);
  });
});

describe('writing a WAV file', () => {
  it('writes what a general-purpose library reads back, clipped at full scale', () => {
    const wav = new WaveFile(writeWav(Float32Array.from([0, 0.5, -0.25, 2, -2]), 16_000));
    expect((wav.fmt as { sampleRate: number }).sampleRate).toBe(16_000);
    expect([...wav.getSamples()]).toEqual([0, 16_384, -8192, 32_767, -32_768]);
  });
});
