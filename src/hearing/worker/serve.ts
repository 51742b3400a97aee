import type { Ruleset } from '../../grammar/ruleset.ts';
import { createSegmenter, type Segmenter, type SegmenterOptions } from '../segmenter.ts';
import type { Heard, Recogniser } from '../port.ts';
import { createSecondOpinion, type OtherEars, type SecondOpinion } from '../second-opinion.ts';
import type { Ms } from '../../units/time.ts';
import type { FromWorker, ToWorker } from './hearing-messages.ts';

/** Runs the listening side of the protocol: give each message of the main thread to the function that is returned. */
export function serve(
  createEngine: (model: string, restarted: (reason: string) => void) => Recogniser,
  post: (message: FromWorker) => void,
  createSecond?: (model: string) => Recogniser,
  // How long the engines take, not when anything happened: the clock of the check has no part in it.
  // oxlint-disable-next-line no-restricted-properties
  now: () => Ms = () => performance.now(),
): (message: ToWorker) => void {
  let segmenter: Segmenter | undefined;
  let goOn: (() => void) | undefined;
  let work: Promise<void> = Promise.resolve();
  let failed = false;

  const posted = (message: FromWorker): Promise<void> =>
    new Promise((resolve) => {
      goOn = resolve;
      post(message);
    });
  const fail = (error: unknown, loading: boolean): void => {
    if (failed) return;
    failed = true;
    post({ type: 'failed', reason: error instanceof Error ? error.message : String(error), loading });
  };
  const begin = async (model: string, secondModel: string | undefined, options: SegmenterOptions): Promise<void> => {
    try {
      const engine = createEngine(model, (reason) => post({ type: 'restarted', reason }));
      await engine.load((fraction) => post({ type: 'loading', fraction }));
      segmenter = createSegmenter(engine, options, {
        started: (at) => post({ type: 'started', at }),
        understood(heard) {
          if (pending !== undefined && second !== undefined)
            ahead = { heard, rules: pending, weighed: second.on(heard, pending) };
        },
        async heard(heard, until) {
          const isAhead = ahead?.heard === heard && ahead.rules === pending;
          const weighed = isAhead ? ahead?.weighed : pending === undefined ? undefined : second?.on(heard, pending);
          ahead = undefined;
          await posted({ type: 'heard', heard: (await weighed) ?? heard, until });
        },
        clock: (now, sound, needed) => posted({ type: 'clock', now, sound, needed }),
        refused: (reason) => post({ type: 'refused', reason }),
      });
      if (engine.listen !== undefined) weighBy({ same: engine });
      if (pending !== undefined) segmenter.listenFor(pending);
      post({ type: 'ready' });
      // After the first has begun to hear, so that nothing waits for it.
      if (secondModel !== undefined) void askToo(secondModel, engine);
    } catch (error) {
      fail(error, true);
    }
  };
  const off = (line: string): void => post({ type: 'notice', line });
  const weighBy = (ears: OtherEars): void => {
    second = createSecondOpinion(ears, now, off);
    if (pending !== undefined) second.listenFor(pending);
  };
  const askToo = async (model: string, same: Recogniser): Promise<void> => {
    const other = createSecond?.(model);
    if (other === undefined) return;
    try {
      await other.load(() => undefined);
      weighBy(same.listen === undefined ? { other } : { same, other });
    } catch (error) {
      const why = error instanceof Error ? error.message : String(error);
      off(`There is no second opinion: ${why}`);
    }
  };
  let second: SecondOpinion | undefined;
  let pending: Ruleset | undefined;
  /** The second opinion on what was understood and may not be over; it takes longer than the rest of the silence. */
  let ahead: { readonly heard: Heard; readonly rules: Ruleset; readonly weighed: Promise<Heard> } | undefined;
  const inTurn = (step: (to: Segmenter) => Promise<void>): void => {
    work = work.then(async () => {
      if (failed || segmenter === undefined) return;
      try {
        await step(segmenter);
        post({ type: 'done' });
      } catch (error) {
        fail(error, false);
      }
    });
  };

  return (message) => {
    if (message.type === 'begin') work = begin(message.model, message.second, message.options);
    else if (message.type === 'go') goOn?.();
    else if (message.type === 'flush') inTurn((to) => to.flush());
    else if (message.type === 'sound') inTurn((to) => to.push(message.samples, message.rate));
    else {
      pending = message.ruleset;
      segmenter?.listenFor(message.ruleset);
      second?.listenFor(message.ruleset);
    }
  };
}
