/** A loudspeaker that is too loud for itself gives these, too. */
const OVERTONES = [1, 2, 3];

/**
 * The frame without steady notes of these pitches, in turns a sample, and their first overtones: the sine waves that fit it best are taken
 * away. A voice loses little by it, as it is much broader.
 */
export function takeOut(frame: Float32Array, pitches: readonly number[]): Float32Array {
  const waves = pitches
    .flatMap((pitch) => OVERTONES.map((n) => n * pitch))
    .filter((pitch) => pitch < 0.5)
    .flatMap((pitch) => [0, 0.25].map((turn) => frame.map((_, n) => Math.sin(2 * Math.PI * (pitch * n + turn)))));
  // One after the other, each at right angles to those before it.
  const taken: Float32Array[] = [];
  return waves.reduce((rest, wave) => {
    const straight = taken.reduce((left, each) => minus(left, each), wave);
    taken.push(straight);
    return minus(rest, straight);
  }, frame);
}

function minus(frame: Float32Array, wave: Float32Array): Float32Array {
  let [both, power] = [0, 0];
  wave.forEach((value, n) => {
    both += value * (frame[n] ?? 0);
    power += value * value;
  });
  // Two notes that are all but one leave nothing of the second.
  if (power < 1e-6 * wave.length) return frame;
  return frame.map((value, n) => value - (both / power) * (wave[n] ?? 0));
}
