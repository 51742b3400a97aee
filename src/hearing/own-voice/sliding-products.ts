import FFT from 'fft.js';

type Samples = Float32Array | Float64Array;

interface Room {
  readonly fft: FFT;
  readonly values: number[];
  readonly spectra: readonly [number[], number[]];
}

/** What the transforms of each length work in, of which there are few. */
const rooms = new Map<number, Room>();

/**
 * The sums of piece[n] sound[n + k] over all of the piece, for every k for which it lies within `sound`: the correlation of the two, by way
 * of their spectra. `sound` is not shorter than `piece`.
 */
export function slidingProducts(piece: Samples, sound: Samples): Float64Array {
  const { fft, values, spectra } = roomFor(sound.length);
  const [ofPiece, ofSound] = spectra;
  for (const [from, spectrum] of [
    [piece, ofPiece],
    [sound, ofSound],
  ] as const) {
    for (let n = 0; n < values.length; n += 1) values[n] = from[n] ?? 0;
    fft.realTransform(spectrum, values);
    fft.completeSpectrum(spectrum);
  }
  for (let k = 0; k < ofPiece.length; k += 2) {
    const [a, b, c, d] = [ofPiece[k] ?? 0, ofPiece[k + 1] ?? 0, ofSound[k] ?? 0, ofSound[k + 1] ?? 0];
    ofPiece[k] = a * c + b * d;
    ofPiece[k + 1] = a * d - b * c;
  }
  fft.inverseTransform(ofSound, ofPiece);
  const out = new Float64Array(sound.length - piece.length + 1);
  for (let k = 0; k < out.length; k += 1) out[k] = ofSound[2 * k] ?? 0;
  return out;
}

function roomFor(length: number): Room {
  const size = 2 ** Math.ceil(Math.log2(Math.max(2, length)));
  const known = rooms.get(size);
  if (known !== undefined) return known;
  const fft = new FFT(size);
  const spectrum = (): number[] => fft.createComplexArray() as number[];
  const room = { fft, values: new Array<number>(size).fill(0), spectra: [spectrum(), spectrum()] as const };
  rooms.set(size, room);
  return room;
}
