import { mixTrack, power, type CabNoise } from '../../../src/cli/operator/operator-sound.ts';
import { randomFrom } from '../../../src/airsystem/scenario.ts';
import { msToSamples, SAMPLE_RATE, type Ms } from '../../../src/units/time.ts';

/** How the loudspeaker comes back into the microphone. */
export interface Echo {
  /** Level of the tool's words at the microphone, dB relative to full scale; those of the operator have -22. */
  readonly levelDb: number;
  /** From the loudspeaker's sound to the microphone's, ms; up to `MOVES` more, and at one sound in four another time: clocks of a page move. */
  readonly delay: Ms;
  /** The same number draws the same times. Default 1. */
  readonly seed?: number;
}

export interface RoomOptions {
  /** To be made, or a sound that is repeated as it is. */
  readonly noise: CabNoise | Float32Array;
  /** Absent: the loudspeaker is not heard, as with a headset. */
  readonly echo?: Echo;
}

/** A sound in the room, which may be cut off. */
export interface RoomSound {
  /** Samples of the room's clock. */
  readonly from: number;
  readonly to: number;
  cut(at: number): void;
}

interface Placed {
  readonly from: number;
  readonly samples: Float32Array;
  readonly gain: number;
  until: number;
}

/** Of the operator at the microphone, dB re full scale. */
export const OPERATOR_DB = -22;
/** Mean power of the clips of the embedded voice, measured over all fixed phrases of the full cab check, dB. */
const TOOL_DB = -15.3;
const NOISE_MS: Ms = 60_000;
/** In a browser without other work the echo was found 250 to 288 ms after the sound was said to begin. */
const MOVES: Ms = 38;

/** What the microphone hears: cab noise, the operator, others, and the loudspeaker. 16 kHz. */
export class Room {
  readonly #noise: Float32Array;
  readonly #echo: Echo | undefined;
  readonly #sounds: Placed[] = [];
  readonly #random: () => number;
  #moved = 0;

  constructor({ noise, echo }: RoomOptions) {
    this.#noise = noise instanceof Float32Array ? noise : noiseOf(noise);
    this.#echo = echo;
    this.#random = randomFrom(echo?.seed ?? 1);
  }

  /** Somebody speaks, from sample `from` on, so loud at the microphone (dB relative to full scale). */
  say(samples: Float32Array, from: number, levelDb = OPERATOR_DB): RoomSound {
    return this.#place({ from, samples, gain: gainTo(samples, levelDb), until: from + samples.length });
  }

  /** The loudspeaker plays. */
  play(samples: Float32Array, rate: number, volume: number, from: number): RoomSound {
    if (rate !== SAMPLE_RATE) throw new RangeError(`the loudspeaker of the room takes ${SAMPLE_RATE} Hz, not ${rate}`);
    const late = this.#echo === undefined ? 0 : msToSamples(this.#echo.delay + this.#moved);
    if (this.#random() < 0.25) this.#moved = MOVES * this.#random();
    // One loudspeaker, whatever it plays: a quiet word comes back more quietly than a loud one.
    const gain = this.#echo === undefined ? 0 : volume * echoGain(this.#echo);
    const sound = this.#place({ from: from + late, samples, gain, until: from + late + samples.length });
    return { from, to: from + samples.length, cut: (at) => sound.cut(at + late) };
  }

  /** What the microphone gives of the samples from `from` on. Asked for in order. */
  microphone(from: number, count: number): Float32Array {
    const heard = new Float32Array(count);
    for (let i = 0; i < count; i += 1) heard[i] = this.#noise[(from + i) % this.#noise.length] ?? 0;
    for (const { from: begin, samples, gain, until } of this.#sounds) {
      if (gain === 0) continue;
      for (let at = Math.max(from, begin); at < Math.min(from + count, until); at += 1)
        heard[at - from] = (heard[at - from] ?? 0) + gain * (samples[at - begin] ?? 0);
    }
    for (let i = this.#sounds.length - 1; i >= 0; i -= 1)
      if ((this.#sounds[i]?.until ?? 0) <= from) this.#sounds.splice(i, 1);
    return heard.map((sample) => Math.max(-1, Math.min(1, sample)));
  }

  #place(placed: Placed): RoomSound {
    this.#sounds.push(placed);
    return {
      from: placed.from,
      to: placed.until,
      cut: (at) => {
        placed.until = Math.min(placed.until, at);
      },
    };
  }
}

const noises = new Map<string, Float32Array>();

/** By how much the embedded voice is to be multiplied, to come back as loud as its echo. */
export function echoGain({ levelDb }: Echo): number {
  return 10 ** ((levelDb - TOOL_DB) / 20);
}

/** A minute of it, which may be repeated. The same noise is made once; nobody writes into it. */
export function noiseOf(noise: CabNoise): Float32Array {
  const key = JSON.stringify(noise);
  const known = noises.get(key) ?? mixTrack([], NOISE_MS, noise);
  noises.set(key, known);
  return known;
}

/** By how much words are to be multiplied to be so loud. */
export function gainTo(samples: Float32Array, levelDb: number): number {
  const loudness = power(samples);
  return loudness === 0 ? 0 : Math.sqrt(10 ** (levelDb / 10) / loudness);
}
