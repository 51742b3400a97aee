import { slidingProducts } from './sliding-products.ts';

/** The search goes on at a quarter of the rate, which keeps what speech is loud in. */
const STEP = 4;

export interface DelayRange {
  /** Samples. */
  readonly least: number;
  readonly most: number;
  /** How far the strongest correlation has to stand above all of them, in their root mean square. */
  readonly standsOut: number;
}

/**
 * The delay, in samples, with which `played` comes back in `heard`, of those of a range; undefined when it does not. `heard[0]` and
 * `played[most]` are of the same moment, so that `played` begins `most` samples before.
 */
export function findDelay(
  heard: Float32Array,
  played: Float32Array,
  { least, most, standsOut }: DelayRange,
): number | undefined {
  const [heardThin, playedThin] = [thinned(heard), thinned(played)];
  const coarse = slidingProducts(heardThin, playedThin).subarray(0, Math.floor((most - least) / STEP) + 1);
  const peak = strongest(coarse);
  if (Math.abs(coarse[peak] ?? 0) < standsOut * rms(coarse)) return undefined;
  // Again around there, sample by sample.
  const near = most - peak * STEP;
  const first = Math.max(least, near - 2 * STEP);
  const last = Math.min(most, near + 2 * STEP);
  const around = flattened(played).subarray(most - last, most - first + heard.length);
  return last - strongest(slidingProducts(flattened(heard), around));
}

/** Where less of the sound than this part of the most was played, hardly anything was. */
const HARDLY = 0.1;

/**
 * How alike `heard` is to what of `played` it is most alike to, at any place: 1 for the same, louder or softer. The tool's voice had 0.4 and
 * more back from a room with four reflections, half of its words too; three other voices in the same words had 0.18 at
 * most, and an operator who spoke over it, 10 dB louder, 0.25.
 */
export function likeness(heard: Float32Array, played: Float32Array): number {
  const [piece, sound] = [thinned(heard), thinned(played)];
  const before = new Float64Array(sound.length + 1);
  sound.forEach((sample, n) => (before[n + 1] = (before[n] ?? 0) + sample * sample));
  const products = slidingProducts(piece, sound);
  const energies = products.map((_, k) => (before[k + piece.length] ?? 0) - (before[k] ?? 0));
  const least = HARDLY * energies.reduce((most, energy) => Math.max(most, energy), 0);
  const own = piece.reduce((sum, sample) => sum + sample * sample, 0);
  if (own === 0 || least === 0) return 0;
  return products.reduce(
    (most, product, k) => Math.max(most, Math.abs(product) / Math.sqrt(own * Math.max(least, energies[k] ?? 0))),
    0,
  );
}

/** Speech falls off towards high frequencies, and engines more so: its slope stands out sharper in time. */
function flattened(sound: Float32Array): Float32Array {
  return sound.map((sample, i) => sample - 0.95 * (sound[i - 1] ?? 0));
}

function thinned(sound: Float32Array): Float32Array {
  const flat = new Float32Array(Math.floor(sound.length / STEP));
  for (let i = 0; i < flat.length; i += 1) {
    let sum = 0;
    for (let k = 0; k < STEP; k += 1) sum += sound[i * STEP + k] ?? 0;
    flat[i] = sum;
  }
  return flattened(flat);
}

function strongest(values: Float64Array): number {
  let best = 0;
  for (let i = 1; i < values.length; i += 1) if (Math.abs(values[i] ?? 0) > Math.abs(values[best] ?? 0)) best = i;
  return best;
}

function rms(values: Float64Array): number {
  return Math.sqrt(values.reduce((sum, value) => sum + value * value, 0) / values.length);
}
