import type { Speech } from '../answering/flite.ts';
import type { StartEvent } from '../check/event.ts';
import type { Microphone, MicrophoneEvents } from '../hearing/microphone-port.ts';
import type { Clock } from '../units/clock.ts';
import type { Ms } from '../units/time.ts';
import type { CheckModel } from './check-model.ts';
import { DEMO_LINES } from './demo-lines.ts';

/** A hold that lasts a minute in a cab; a drop beyond what the whole minute allows fails it just the same. */
const HOLD_SECONDS = 20;
const STEPS: readonly string[] = ['static-leakage', 'low-air-warning'];

/** The demo: two steps of a check on a rig with a leak, in about a minute. */
export function demoStart(start: StartEvent): StartEvent {
  const steps = start.plan.steps
    .filter(({ id }) => STEPS.includes(id))
    .map((step) => (step.kind === 'hold' ? { ...step, holdSeconds: HOLD_SECONDS } : step));
  return { ...start, operator: 'Demo', plan: { ...start.plan, id: 'demo', title: 'Demo', steps } };
}

/** What the made-up operator says now; undefined while there is nothing to say. `now`: on the clock of the check. */
export function demoLine({ step, cues, question, bar, readingNext, paused }: CheckModel, now: Ms): string | undefined {
  if (paused) return undefined;
  if (question !== undefined) return question.kind === 'reading' ? DEMO_LINES.yes : undefined;
  if (bar?.kind === 'hold') return bar.due !== undefined && now > bar.due ? DEMO_LINES.after : undefined;
  const isDone = (id: string): boolean => cues.some(({ cue, done }) => cue === id && done);
  if (step.id === 'low-air-warning') return isDone('buzzer') ? DEMO_LINES.warningAt : DEMO_LINES.warning;
  if (!isDone('engine-off')) return DEMO_LINES.engineOff;
  if (!isDone('brakes-released')) return DEMO_LINES.released;
  if (!isDone('settled')) return DEMO_LINES.settled;
  return readingNext ? DEMO_LINES.before : undefined;
}

/** Two people in a cab leave each other so much silence; a line that was not understood is said again after the longer time. In ms. */
const SILENCE_MS = 900;
const AGAIN_MS = 6000;
const RATE = 16_000;

export interface DemoParts extends Pick<Clock, 'steady' | 'every'> {
  /** The sound of a line; undefined when it is missing. */
  readonly clip: (line: string) => Speech | undefined;
  /** Plays it to whoever watches, until it is cut. */
  readonly play: (sound: Speech, cut: AbortSignal) => void;
  /** The check as it stands, and whether the tool speaks; undefined before it has begun. */
  readonly check: () => { readonly model: CheckModel; readonly now: Ms; readonly speaking: boolean } | undefined;
}

/** A microphone that hears the made-up operator of the demo, who speaks when the tool is silent. */
export function demoMicrophone({ steady, every, clip, play, check }: DemoParts, events: MicrophoneEvents): Microphone {
  const cut = new AbortController();
  let fedUntil = steady();
  let line: { readonly text: string; readonly sound: Speech; at: number } | undefined;
  let said: { readonly text: string; readonly until: number } | undefined;
  let quietSince = steady();
  events.state('listening');

  function nextLine(now: number): void {
    const checked = check();
    if (checked === undefined || checked.speaking || line !== undefined) quietSince = now;
    if (checked === undefined || line !== undefined || now - quietSince < SILENCE_MS) return;
    const text = demoLine(checked.model, checked.now);
    const wait = text === said?.text ? AGAIN_MS : SILENCE_MS;
    if (text === undefined || now - (said?.until ?? -Infinity) < wait) return;
    const sound = clip(text);
    if (sound === undefined) return;
    line = { text, sound, at: 0 };
    play(sound, cut.signal);
  }

  /** As many samples as time has passed, of the line or of silence. */
  function feed(now: number): void {
    const length = Math.floor(((now - fedUntil) * RATE) / 1000);
    if (length <= 0) return;
    const samples = new Float32Array(length);
    if (line !== undefined) {
      const part = line.sound.samples.subarray(line.at, line.at + length);
      samples.set(part);
      line.at += length;
      if (line.at >= line.sound.samples.length) {
        said = { text: line.text, until: now };
        line = undefined;
      }
    }
    events.sound(samples, RATE, fedUntil);
    fedUntil += (length * 1000) / RATE;
  }

  const rest = every(100, () => {
    const now = steady();
    nextLine(now);
    feed(now);
  });
  return {
    retry: () => Promise.resolve(),
    stop() {
      rest();
      cut.abort();
    },
  };
}
