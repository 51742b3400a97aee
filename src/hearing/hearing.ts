import type { Ruleset } from '../grammar/ruleset.ts';
import { bad, type Problem } from '../units/outcome.ts';
import { msToSamples, SAMPLE_RATE, type Ms } from '../units/time.ts';
import type { EndpointerOptions } from './endpointer.ts';
import type { Heard } from './port.ts';
import type { SoundReport } from './sound-watch.ts';
import type { FromWorker, WorkerHandle } from './worker/hearing-messages.ts';

/**
 * What hearing tells. The next sound is not worked through before the promise of `heard` or `clock` has resolved: a
 * ruleset set in it applies to the very next utterance, and a recording gives the same result each time. Return soon.
 */
export interface HearingEvents {
  /** An utterance, also a rejected one. */
  readonly heard: (heard: Heard) => void | Promise<void>;
  /** Every 100 ms of sound that has been worked through, in order with `heard`. */
  readonly clock: (now: Ms, sound: SoundReport) => void | Promise<void>;
  /** Speech began; `heard` follows when it ends. May be repeated for the same speech after a restart. */
  readonly speechStarted?: (at: Ms) => void;
  /** Loading the model, from 0 to 1. */
  readonly loading?: (fraction: number) => void;
  readonly problem: (problem: Problem) => void;
  /** It died and was replaced, without loss of sound: what was being heard is heard again. A problem has said why. */
  readonly restarted?: () => void;
  /** It hears no more, for good: sound is no longer worked through. A problem has said why. */
  readonly stopped?: () => void;
}

export interface HearingOptions extends EndpointerOptions {
  readonly spawn: () => WorkerHandle;
  /** The model folder: an absolute web address in a browser, a path in Node. */
  readonly model: string;
  /** The model folder of the engine that gives a second opinion, for workers that can ask one. Default: none is asked. */
  readonly second?: string;
  /**
   * Sound comes as fast as it is spoken: decode at the first short silence, to answer sooner. The results are the same
   * without; a recording is worked through faster without. Default true.
   */
  readonly live?: boolean;
  /** Waits longer for a second needle. Default false. */
  readonly slowSpeaker?: boolean;
  /** Restarts in quick succession after which it stops for good; fewer where another ear can take over. Default 3. */
  readonly mostRestarts?: number;
  /** Milliseconds without a sign of life after which a busy worker counts as dead. Default 30,000. */
  readonly patienceMs?: number;
}

export interface Hearing {
  /** True when it hears; false when it cannot (a problem has been told). */
  readonly ready: Promise<boolean>;
  /** Applies from the next decode on; speech that is going on is not lost. */
  listenFor(ruleset: Ruleset): void;
  /**
   * Takes the next mono samples, +-1, at `rate` Hz. Resolves when they have been worked through and all events told:
   * await it to feed a recording, ignore it for live sound. The samples are kept, not copied.
   */
  feed(samples: Float32Array, rate: number): Promise<void>;
  /** The sound has ended: speech that is going on is told as heard. */
  flush(): Promise<void>;
  close(): Promise<void>;
}

/** A part of the sound, on the sample clock, until the worker needs it no more. */
interface Part {
  readonly samples: Float32Array | undefined;
  readonly rate: number;
  /** Sample index (16 kHz, may be a fraction) of its first sample and of the one after its last. */
  readonly from: number;
  readonly to: number;
  resolve: () => void;
  done: boolean;
}

/** Sound kept before the oldest needed sample, so that a new worker knows the noise floor again. */
const WARM_UP = 2 * SAMPLE_RATE;
const MOST_RESTARTS = 3;
/** Sound without a restart after which earlier ones are forgiven. */
const FORGIVEN_AFTER = 10 * SAMPLE_RATE;

/**
 * Hearing on a worker. It lives as long as its caller wants: a worker that dies is replaced, and the speech that was
 * going on is heard again; when that fails three times, a problem is told and `feed` resolves without hearing.
 */
export function createHearing(options: HearingOptions, events: HearingEvents): Hearing {
  const patience = options.patienceMs ?? 30_000;
  let worker: WorkerHandle | undefined;
  let state: 'loading' | 'hearing' | 'stopped' = 'loading';
  let ruleset: Ruleset | undefined;
  let parts: Part[] = [];
  let fed = 0;
  let heardUntil = 0;
  let clockUntil = 0;
  let needed = 0;
  let restarts = 0;
  let restartedAt = 0;
  let watchdog: ReturnType<typeof setTimeout> | undefined;
  let settleReady: (heard: boolean) => void = () => {};
  const ready = new Promise<boolean>((resolve) => {
    settleReady = resolve;
  });

  const watch = (on: boolean): void => {
    clearTimeout(watchdog);
    if (on && state !== 'stopped') watchdog = setTimeout(() => died('it gave no sign of life'), patience);
  };
  /** Parts are done in their order. */
  const busy = (): boolean => state === 'loading' || parts.at(-1)?.done === false;

  const stop = (): void => {
    state = 'stopped';
    watch(false);
    worker?.terminate();
    worker = undefined;
    settleReady(false);
    for (const part of parts.splice(0)) part.resolve();
  };

  const start = (firstSample: number): void => {
    const mine = options.spawn();
    worker = mine;
    const current = (): boolean => worker === mine;
    mine.onMessage((message) => {
      if (current()) void take(message, mine);
    });
    mine.onDeath((reason) => {
      if (current()) died(reason);
    });
    const { endSilenceMs, maxUtteranceMs, live } = options;
    mine.post({
      type: 'begin',
      model: options.model,
      ...(options.second === undefined ? {} : { second: options.second }),
      options: {
        ...(endSilenceMs === undefined ? {} : { endSilenceMs }),
        ...(maxUtteranceMs === undefined ? {} : { maxUtteranceMs }),
        firstSample,
        heardUntil,
        clockUntil,
        decodeAhead: live ?? true,
        slowSpeaker: options.slowSpeaker ?? false,
      },
    });
    if (ruleset !== undefined) mine.post({ type: 'listenFor', ruleset });
    for (const part of parts) postPart(mine, part);
    watch(true);
  };

  const died = (reason: string): void => {
    if (state === 'stopped') return;
    worker?.terminate();
    if (clockUntil - restartedAt > FORGIVEN_AFTER) restarts = 0;
    restarts += 1;
    restartedAt = clockUntil;
    if (restarts > (options.mostRestarts ?? MOST_RESTARTS)) {
      events.problem(bad(`Hearing keeps stopping (${reason}).`, 'hearing', GO_ON_BY_HAND).problem);
      stop();
      events.stopped?.();
      return;
    }
    events.problem(
      bad(
        `Hearing stopped (${reason}) and starts again.`,
        'hearing',
        'If you spoke just now, say it again should it not be read back.',
      ).problem,
    );
    events.restarted?.();
    // The same sound has now ended it twice: go on after it.
    if (restarts > 1) parts = parts.filter((part) => !part.done);
    for (const part of parts) part.done = false;
    start(Math.round(parts[0]?.from ?? fed));
  };

  const told = async (mine: WorkerHandle, callback: () => void | Promise<void>): Promise<void> => {
    watch(false);
    try {
      await callback();
    } catch (error) {
      // A fault of whoever is told must not make the ear deaf: the worker waits for "go".
      const why = error instanceof Error ? error.message : String(error);
      events.problem(bad(`What was heard could not be taken in (${why}).`, 'hearing', SAY_AGAIN).problem);
    }
    if (worker !== mine) return;
    mine.post({ type: 'go' });
    watch(true);
  };

  const take = async (message: FromWorker, mine: WorkerHandle): Promise<void> => {
    watch(busy());
    if (message.type === 'loading') events.loading?.(message.fraction);
    else if (message.type === 'ready') {
      state = 'hearing';
      settleReady(true);
      watch(busy());
    } else if (message.type === 'started') events.speechStarted?.(message.at);
    else if (message.type === 'heard') {
      heardUntil = message.until;
      await told(mine, () => events.heard(message.heard));
    } else if (message.type === 'clock') {
      clockUntil = msToSamples(message.now);
      needed = message.needed;
      await told(mine, () => events.clock(message.now, message.sound));
    } else if (message.type === 'done') done();
    else if (message.type === 'restarted') {
      events.problem(bad(message.reason, 'hearing', 'It has started again and hears again what was said.').problem);
      events.restarted?.();
    } else if (message.type === 'notice') events.problem(bad(message.line, 'hearing').problem);
    else if (message.type === 'refused') events.problem(bad(message.reason, 'hearing', GO_ON_BY_HAND).problem);
    else if (message.loading) {
      events.problem(bad(message.reason, 'hearing', GO_ON_BY_HAND).problem);
      stop();
      events.stopped?.();
    } else died(message.reason);
  };

  const done = (): void => {
    const part = parts[parts.findLastIndex((each) => each.done) + 1];
    if (part === undefined) return;
    part.done = true;
    part.resolve();
    const wanted = parts.findIndex((each) => !each.done || each.to > needed - WARM_UP);
    parts.splice(0, wanted === -1 ? parts.length : wanted);
    watch(busy());
  };

  const add = (samples: Float32Array | undefined, rate: number): Promise<void> => {
    if (state === 'stopped') return Promise.resolve();
    const from = fed;
    fed += ((samples?.length ?? 0) * SAMPLE_RATE) / rate;
    return new Promise((resolve) => {
      const part: Part = { samples, rate, from, to: fed, resolve, done: false };
      parts.push(part);
      if (worker !== undefined) postPart(worker, part);
      watch(true);
    });
  };

  start(0);
  return {
    ready,
    listenFor(rules) {
      if (rules.id === ruleset?.id) return;
      ruleset = rules;
      worker?.post({ type: 'listenFor', ruleset: rules });
    },
    feed: (samples, rate) => add(samples, rate),
    flush: () => add(undefined, SAMPLE_RATE),
    close: () => {
      stop();
      return Promise.resolve();
    },
  };
}

const SAY_AGAIN = 'Say it again; if that does not help, go on by touch and keyboard.';
const GO_ON_BY_HAND = 'The check goes on by touch and keyboard.';

function postPart(worker: WorkerHandle, part: Part): void {
  worker.post(
    part.samples === undefined ? { type: 'flush' } : { type: 'sound', samples: part.samples, rate: part.rate },
  );
}
