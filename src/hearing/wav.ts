import { bad, good, type Outcome, type Problem } from '../units/outcome.ts';

/** A recording: the first channel, +-1 full scale, at its own rate in Hz. */
export interface Recording {
  readonly samples: Float32Array;
  readonly rate: number;
  /** Set when the sound could be read only in part. */
  readonly problem?: Problem;
}

const PCM = 1;
const FLOAT = 3;
const EXTENSIBLE = 0xfffe;
/** Programs that write to a pipe leave a length of about 2 or 4 GB in the header: that is no damage. */
const STREAMED = 0x7fff_f000;

const REPAIR = 'Use a WAV file of PCM 16, 24 or 32 bit, or 32-bit float.';

/**
 * Reads a WAV file (RIFF WAVE as in Microsoft's "Multimedia Programming Interface and Data Specifications 1.0", with
 * WAVE_FORMAT_EXTENSIBLE). A file that ends before its header says is read as far as it goes, with a problem attached.
 * `where` names the file in problems.
 */
export function readWav(bytes: Uint8Array, where: string): Outcome<Recording> {
  if (bytes.length === 0) return bad('The file is empty.', where, REPAIR);
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  if (bytes.length < 12 || tag(view, 0) !== 'RIFF' || tag(view, 8) !== 'WAVE') {
    return bad('This is not a WAV file: it does not begin with RIFF and WAVE.', `${where}, byte 0`, REPAIR);
  }
  let format: Format | undefined;
  for (let at = 12; at + 8 <= bytes.length;) {
    const id = tag(view, at);
    const size = view.getUint32(at + 4, true);
    const body = at + 8;
    if (id === 'fmt ') {
      const read = readFormat(view, body, size, where);
      if (!read.ok) return read;
      format = read.value;
    } else if (id === 'data') {
      if (format === undefined) return bad('The sound comes before its description.', `${where}, byte ${at}`, REPAIR);
      return readData(view, body, size, format, where);
    }
    // Chunks are padded to even lengths.
    at = body + size + (size % 2);
  }
  const missing = format === undefined ? 'description of the sound (fmt chunk)' : 'sound (data chunk)';
  return bad(
    `The file ends before its ${missing}.`,
    `${where}, byte ${bytes.length}`,
    'Copy or record the file again.',
  );
}

interface Format {
  readonly float: boolean;
  readonly bits: number;
  readonly rate: number;
  /** Bytes of one sample of every channel. */
  readonly block: number;
}

function readFormat(view: DataView, at: number, size: number, where: string): Outcome<Format> {
  const place = `${where}, byte ${at}`;
  if (size < 16 || at + 16 > view.byteLength)
    return bad('The description of the sound is cut short.', place, 'Copy or record the file again.');
  const code = view.getUint16(at, true);
  const extended = code === EXTENSIBLE && size >= 40 && at + 40 <= view.byteLength;
  const codec = extended ? view.getUint16(at + 24, true) : code;
  const channels = view.getUint16(at + 2, true);
  const rate = view.getUint32(at + 4, true);
  const bits = view.getUint16(at + 14, true);
  const known = codec === PCM ? [16, 24, 32].includes(bits) : codec === FLOAT && bits === 32;
  if (!known)
    return bad(`The sound is of a kind that is not read here: codec ${codec} with ${bits} bits.`, place, REPAIR);
  if (rate < 1000 || rate > 768_000) return bad(`The sample rate is ${rate} Hz.`, `${where}, byte ${at + 4}`, REPAIR);
  if (channels === 0) return bad('The file has no channels.', `${where}, byte ${at + 2}`, REPAIR);
  return good({ float: codec === FLOAT, bits, rate, block: (channels * bits) / 8 });
}

function readData(view: DataView, at: number, size: number, format: Format, where: string): Outcome<Recording> {
  const present = Math.min(size, view.byteLength - at);
  const count = Math.floor(present / format.block);
  if (count === 0) return bad('The file holds no sound.', `${where}, byte ${at}`, 'Copy or record the file again.');
  const samples = new Float32Array(count);
  const sample = reader(view, format);
  for (let i = 0; i < count; i += 1) samples[i] = sample(at + i * format.block);
  const short = present < size && size < STREAMED;
  if (!short) return good({ samples, rate: format.rate });
  const { problem } = bad(
    `The file is cut short: its header announces ${size} bytes of sound, ${present} are there; they are read.`,
    `${where}, byte ${view.byteLength}`,
    'Copy the file again if the end matters.',
  );
  return good({ samples, rate: format.rate, problem });
}

function reader(view: DataView, format: Format): (at: number) => number {
  if (format.float) {
    return (at) => {
      const value = view.getFloat32(at, true);
      return Number.isFinite(value) ? value : 0;
    };
  }
  if (format.bits === 16) return (at) => view.getInt16(at, true) / 32_768;
  if (format.bits === 24) return (at) => ((view.getInt16(at + 1, true) << 8) | view.getUint8(at)) / 8_388_608;
  return (at) => view.getInt32(at, true) / 2_147_483_648;
}

/** A mono 16-bit PCM WAV file; what is beyond full scale is clipped. `rate` in Hz. */
export function writeWav(samples: Float32Array, rate: number): Uint8Array<ArrayBuffer> {
  const bytes = new Uint8Array(44 + samples.length * 2);
  const view = new DataView(bytes.buffer);
  const text = (at: number, value: string): void => bytes.set(new TextEncoder().encode(value), at);
  text(0, 'RIFF');
  view.setUint32(4, 36 + samples.length * 2, true);
  text(8, 'WAVEfmt ');
  view.setUint32(16, 16, true);
  view.setUint16(20, PCM, true);
  view.setUint16(22, 1, true);
  view.setUint32(24, rate, true);
  view.setUint32(28, rate * 2, true);
  view.setUint16(32, 2, true);
  view.setUint16(34, 16, true);
  text(36, 'data');
  view.setUint32(40, samples.length * 2, true);
  samples.forEach((sample, i) => {
    view.setInt16(44 + i * 2, Math.max(-32_768, Math.min(32_767, Math.round(sample * 32_768))), true);
  });
  return bytes;
}

function tag(view: DataView, at: number): string {
  return String.fromCharCode(view.getUint8(at), view.getUint8(at + 1), view.getUint8(at + 2), view.getUint8(at + 3));
}
