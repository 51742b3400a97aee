import type { Ms } from '../units/time.ts';

/** What the dials and the parking valve showed at one moment. */
export interface Sample {
  readonly at: Ms;
  /** Needles in psi, unrounded. */
  readonly primary: number;
  readonly secondary: number;
  readonly parkingOut: boolean;
}

export const SAMPLE_MS: Ms = 100;

/** One sample every `SAMPLE_MS` from 0 on. In parts, so that one more sample does not copy all those before it. Plain data. */
export interface Trace {
  /** Each of `PART` samples. */
  readonly full: readonly (readonly Sample[])[];
  /** Fewer, never none. */
  readonly last: readonly Sample[];
}

const PART = 300;

export function traceFrom(first: Sample): Trace {
  return { full: [], last: [first] };
}

export function lengthOf({ full, last }: Trace): number {
  return full.length * PART + last.length;
}

/** The trace with samples added at its end. */
export function extended(trace: Trace, samples: readonly Sample[]): Trace {
  if (samples.length === 0) return trace;
  const last = trace.last.concat(samples);
  if (last.length <= PART) return { full: trace.full, last };
  const full = [...trace.full];
  let begin = 0;
  for (; last.length - begin > PART; begin += PART) full.push(last.slice(begin, begin + PART));
  return { full, last: last.slice(begin) };
}

/** The trace up to the sample at `at`, or the last before it; `at` is not before 0. */
export function cutAt(trace: Trace, at: Ms): Trace {
  const [first, ...rest] = samplesOf(trace).slice(0, Math.floor(at / SAMPLE_MS) + 1);
  if (first === undefined) throw new RangeError(`a trace has no sample at ${at} ms`);
  return extended(traceFrom(first), rest);
}

export function samplesOf({ full, last }: Trace): readonly Sample[] {
  return [...full.flat(), ...last];
}

/** The samples from `from` to `to`, both included, as far as there are any. */
export function samplesIn(trace: Trace, from: Ms, to: Ms): readonly Sample[] {
  const begin = Math.max(0, Math.floor(from / SAMPLE_MS));
  const end = Math.min(lengthOf(trace), Math.max(0, Math.ceil(to / SAMPLE_MS)) + 1);
  return Array.from({ length: Math.max(0, end - begin) }, (_, index) => sampleNo(trace, begin + index));
}

/** The sample nearest to `at`. */
export function sampleNear(trace: Trace, at: Ms): Sample {
  return sampleNo(trace, Math.min(lengthOf(trace) - 1, Math.max(0, Math.round(at / SAMPLE_MS))));
}

function sampleNo({ full, last }: Trace, index: number): Sample {
  const part = full[Math.floor(index / PART)] ?? last;
  const sample = part[index % PART];
  if (sample === undefined) throw new RangeError(`a trace has no sample number ${index}`);
  return sample;
}
