import type { Ruleset } from '../grammar/ruleset.ts';
import { msToSamples, SAMPLE_RATE, samplesToMs } from '../units/time.ts';
import { FRAME_SAMPLES } from './band-levels.ts';
import { inForeground, loudestOf } from './background-speech.ts';
import { createClearSilence } from './clear-silence.ts';
import type { Segmenter, SegmenterEvents, SegmenterOptions } from './segmenter-port.ts';
import type { Heard, HearingStream, Recogniser, Understood } from './port.ts';
import { sentencesOf, type Sentences } from './sentence-end.ts';
import { createSoundIntake } from './sound-intake.ts';

/** Sound handed to the engine at once. */
const STEP = 6 * FRAME_SAMPLES;
/** A word stands in what the engine tells at most this long after it began, in samples: the look ahead of the model and its chunk. */
const TOLD_AFTER = 0.7 * SAMPLE_RATE;
/** Sound that a new stream hears again before that. */
const RUN_UP = 0.5 * SAMPLE_RATE;
/** The next utterance is heard from this long after the last word of the one before. */
const AFTER_WORD = 0.12 * SAMPLE_RATE;
/** Longest utterance, and sound that is kept to be heard again. */
const LONGEST = 15 * SAMPLE_RATE;
const KEPT = 4 * SAMPLE_RATE;
/** Silence after clear speech at which the engine is made to tell. */
const PAUSE = 0.25 * SAMPLE_RATE;
/** Silence after clear speech at which it is made to tell ahead, so that a sentence is understood by the time it counts as over. */
const SHORT_PAUSE = 0.15 * SAMPLE_RATE;
/** Silence after clear speech at which other speech is over. */
const OTHER_PAUSE = 2 * PAUSE;
/**
 * The engine is made to tell so long before a short silence that the sentence asks for has passed since a word was new, which is later than
 * it was said, unless the sound stands out of the noise that long; else so long after it: a word that came meanwhile stands in what is told by then.
 */
const BEFORE_SHORT = 0.04 * SAMPLE_RATE;
const AFTER_LONG = 0.1 * SAMPLE_RATE;
/** Sound that was there less than this ago goes on: between two words it is not much longer. */
const WORD = 0.1 * SAMPLE_RATE;
/** The level falls this much before the end of the last word, which the engine has later. */
const LULL = 0.03 * SAMPLE_RATE;
/** In a silent place the engine rests when nothing sounded for this long; the next sound it hears with what was before it. */
const REST_AFTER = 2 * SAMPLE_RATE;
/** Speech that had no word of the rules for this long is other speech, such as a radio's: at each breath in it nothing is asked. */
const LONG_OTHER = 2 * SAMPLE_RATE;
/** Where it told of speech that was going on, it is made to tell again after this. */
const GOING_ON = 0.3 * SAMPLE_RATE;

/** Sound around an utterance when its sound alone is heard, and the longest that is. */
const AROUND = 0.3 * SAMPLE_RATE;
const LOOKED_AT = 8 * SAMPLE_RATE;
/** Confidence of what was heard in the sound alone, but not among what was around it. */
const NOT_SURE = 0.6;
/** Confidence of what the speech around it may take back or make another number: a cue does not count with it, and needles are asked about. */
const DOUBTFUL = 0.5;

interface UtteranceHeard {
  readonly heard: Heard;
  /** Samples of its first and last word. */
  readonly from: number;
  readonly to: number;
  /** Of other speech, the same of its loudest words: they may be a callout with a radio around it. */
  readonly loudest: { readonly from: number; readonly to: number };
}

interface OpenStream {
  readonly heard: HearingStream;
  readonly from: number;
  readonly rulesetId: string;
}

/** Words that are no callout of the ruleset. */
function asOther(heard: Heard): Heard {
  return { ...heard, words: [], text: '', confidence: 0, rejected: true };
}

/** Words that the speech around them may belong to. No second opinion takes that away. */
function doubted(heard: Heard): Heard {
  return { ...heard, confidence: Math.min(heard.confidence, DOUBTFUL), agreed: false };
}

/**
 * Hears all the time; nothing cuts the sound before the engine. An utterance ends when no word has come for as long as its sentence asks
 * for (`silenceAfter`). How long that has been the engine says exactly only when it is made to tell, which ends its stream: should the
 * sentence not be over, a new stream hears the same sound again and goes on. It is made to tell when no word was new for a while, and
 * at once at a pause where speech stood clear of the noise.
 */
export function createStreamingSegmenter(
  engine: Pick<Recogniser, 'setGrammar' | 'recognise'> & Required<Pick<Recogniser, 'listen'>>,
  options: SegmenterOptions,
  events: SegmenterEvents,
): Segmenter {
  const clear = createClearSilence();
  const longest = options.maxUtteranceMs === undefined ? LONGEST : msToSamples(options.maxUtteranceMs);
  let ruleset: Ruleset | undefined;
  let rules: { readonly id: string; readonly sentences: Sentences } | undefined;
  let stream: OpenStream | undefined;
  /** What is being said, since when, and since when nothing was new in it, or in the callout that it may be; samples at which it was told. */
  let saying:
    | { readonly text: string; readonly since: number; readonly changed: number; readonly called: number }
    | undefined;
  /** Understood at a pause, and told when it lasts. */
  let pending:
    | { readonly heard: Heard; readonly rulesetId: string; readonly silence: number; readonly at: number }
    | undefined;
  /** Understood of what is being said when it was last made to tell, and a silence was there: it counts, whatever comes after it. */
  let understood: Heard | undefined;
  /** The engine is not made to tell again before this sample. */
  let notBefore = 0;
  /** The clear pause, and the lull, at which it was made to tell: once is enough. */
  let askedAt: number | undefined;
  let askedLull: number | undefined;
  let askedAheadAt: number | undefined;
  /** The callout among other speech at which it was made to tell, by the sample from which it was as it is. */
  let askedCall: number | undefined;
  /** No utterance begins before this sample. */
  let earliest = Math.max(options.firstSample, options.heardUntil);
  /** Up to here the stream has its sound, and the sound has come. */
  let fed = options.firstSample;
  let now = options.firstSample;

  /** From where a new stream has to hear so that nothing said is lost. */
  const anchor = (): number => {
    const begun = (saying?.since ?? now) - TOLD_AFTER - RUN_UP;
    return Math.round(Math.max(earliest, begun, intake.keptFrom));
  };

  const sentences = (): Sentences | undefined => {
    if (ruleset !== undefined && rules?.id !== ruleset.id) {
      rules = { id: ruleset.id, sentences: sentencesOf(ruleset, options.slowSpeaker) };
    }
    return rules?.sentences;
  };

  const silenceOf = (text: string): number => {
    const silence = sentences()?.silence(text.split(' '));
    return silence === undefined ? PAUSE : msToSamples(silence);
  };

  const open = async (from: number): Promise<void> => {
    stream?.heard.close();
    stream = undefined;
    fed = from;
    if (ruleset !== undefined) stream = { heard: await engine.listen(ruleset, from), from, rulesetId: ruleset.id };
  };

  const feed = async (): Promise<boolean> => {
    if (stream === undefined || now <= fed) return false;
    const sound = intake.cut(fed, now);
    // In the sound of more than a step the words may have begun long before now.
    const told = Math.min(now, fed + STEP + TOLD_AFTER);
    fed = now;
    const { text, ended } = await stream.heard.accept(sound);
    if (text !== '' && text !== saying?.text) {
      if (saying === undefined) events.started(samplesToMs(told - TOLD_AFTER));
      const isCalled = saying !== undefined && calloutIn(saying.text) === calloutIn(text);
      saying = {
        text,
        since: saying?.since ?? told,
        changed: now,
        called: (isCalled ? saying?.called : undefined) ?? now,
      };
    }
    return ended;
  };

  const tell = async (heard: Heard): Promise<void> => {
    const until = Math.round(Math.min(now, Math.max(earliest, msToSamples(heard.end) + AFTER_WORD)));
    pending = undefined;
    understood = undefined;
    saying = undefined;
    earliest = until;
    stream = undefined;
    clear.forget();
    await events.heard(heard, until);
    await open(until);
  };

  const isCallout = (word: string): boolean => ruleset?.words.includes(word) === true;

  /** What is being said without the other speech in it. */
  const calloutIn = (text: string): string => text.split(' ').filter(isCallout).join(' ');

  /** The utterances that were understood. Sentences without a silence between them are no callout. */
  const utterancesOf = ({ words: all, level, utterance }: Understood): readonly UtteranceHeard[] => {
    const { places, isDoubtful } = inForeground(all, isCallout, level);
    const words = places.flatMap((at) => all[at] ?? []);
    const beginnings = sentences()?.beginnings(words) ?? [];
    return beginnings.map((from, at) => {
      const own = places.slice(from, beginnings[at + 1]);
      const spanOf = (first = 0, last = own.length): { from: number; to: number } => ({
        from: msToSamples(words[from + first]?.start ?? 0),
        to: msToSamples(words[from + last - 1]?.end ?? 0),
      });
      const heard = utterance(own);
      if (heard.rejected) {
        const { from: first, to: last } = loudestOf(own.map((at) => level(all[at]?.start ?? 0, all[at]?.end ?? 0)));
        return { heard, ...spanOf(), loudest: spanOf(first, last) };
      }
      const weighed = isDoubtful ? doubted(heard) : heard;
      return { heard: isSentence(heard) ? weighed : asOther(heard), ...spanOf(), loudest: spanOf() };
    });
  };

  const isSentence = ({ text, rejected }: Heard): boolean => !rejected && sentences()?.has(text.split(' ')) === true;

  /**
   * What is told of other speech: a callout that was understood before something followed it, or one that its sound alone amounts to,
   * without the noise around it, or that of its loudest words. Heard in one way and not in the other, it is not sure, and doubtful where it
   * leaves a word's length of it: "brakes held" of "brakes held, almost".
   */
  const secondLook = async ({ heard, from, to, loudest }: UtteranceHeard): Promise<Heard> => {
    const whole = await heardAlone(from, to);
    if (whole !== undefined) {
      const isAllOfIt = msToSamples(whole.start) - from <= AROUND && to - msToSamples(whole.end) <= AROUND;
      return isAllOfIt ? { ...whole, confidence: Math.min(whole.confidence, NOT_SURE) } : doubted(whole);
    }
    const isAll = loudest.from === from && loudest.to === to;
    const part = isAll ? undefined : await heardAlone(loudest.from, loudest.to);
    return part === undefined ? heard : doubted(part);
  };

  /** The callout that the sound between two samples amounts to. */
  const heardAlone = async (from: number, to: number): Promise<Heard | undefined> => {
    // Who does not wait begins soon after what was said before.
    const first = Math.round(Math.max(from - AROUND, intake.keptFrom, earliest));
    const last = Math.round(Math.min(now, to + AROUND));
    if (ruleset === undefined || first > from || last - first > LOOKED_AT) return undefined;
    await engine.setGrammar(ruleset);
    const again = await engine.recognise(intake.cut(first, last), first);
    return isSentence(again) ? again : undefined;
  };

  const isPending = (): boolean => pending !== undefined && pending.at === clear.quietSince;

  /**
   * The engine is made to tell before it is known whether the silence lasts. Only a sentence is of use; with it in hand nothing is heard
   * again unless somebody goes on.
   */
  const askAhead = async (from: OpenStream): Promise<void> => {
    const again = anchor();
    stream = undefined;
    const [found, following] = utterancesOf(await from.heard.final());
    const at = clear.quietSince;
    if (at === undefined || found === undefined || following !== undefined || !isSentence(found.heard))
      return open(again);
    pending = {
      heard: found.heard,
      rulesetId: from.rulesetId,
      silence: Math.max(PAUSE, silenceOf(found.heard.text)),
      at,
    };
    events.understood?.(found.heard);
  };

  /** The engine is made to tell. `quiet`: the clear silence that there is. */
  const ask = async (from: OpenStream, quiet: number): Promise<void> => {
    const again = anchor();
    stream = undefined;
    const [found, following] = utterancesOf(await from.heard.final());
    const heard = found?.heard;
    if (found === undefined || heard === undefined) {
      saying = undefined;
      understood = undefined;
    } else if (following !== undefined && isUnderWay(found, following)) {
      notBefore = now + GOING_ON;
    } else if (following !== undefined) {
      // What comes after it is heard by the rules that it leads to.
      return tell(heard.rejected ? (understood ?? (await secondLook(found))) : heard);
    } else if (heard.words.length > 0) {
      const wanted = silenceOf(heard.text);
      const silence = Math.max(quiet, silenceSince(msToSamples(heard.end), wanted));
      if (silence >= wanted) return tell(heard);
      if (silence >= PAUSE) understood = heard;
      notBefore = now + Math.max(STEP, wanted - silence);
      askedCall = undefined;
      if (clear.quietSince !== undefined) {
        pending = { heard, rulesetId: from.rulesetId, silence: wanted, at: clear.quietSince };
        events.understood?.(heard);
        return undefined;
      }
    } else if (isOver(quiet)) {
      return tell(understood ?? (await secondLook(found)));
    } else {
      // A word that was under way makes other speech of it all.
      notBefore = now + GOING_ON;
    }
    await open(again);
  };

  /**
   * How long no word has come. Made to tell in the middle of a word, the engine passes over it as if it were silence: where more is waited
   * for, silence that the sound does not show counts only as far back as a word would have been told by itself.
   */
  const silenceSince = (end: number, wanted: number): number => {
    const lull = clear.lullSince;
    const isStill = lull !== undefined && now - lull >= PAUSE;
    return now - end - (wanted > TOLD_AFTER && !isStill ? TOLD_AFTER : 0);
  };

  /** What follows came while more was waited for, and is so short that the engine may not know yet what word it is: the one that lacks. */
  const isUnderWay = ({ heard, to }: UtteranceHeard, { from }: UtteranceHeard): boolean =>
    from - to < silenceOf(heard.text) &&
    now - from < TOLD_AFTER &&
    saying !== undefined &&
    now - saying.since < longest;

  /** Other speech is over when nothing was new in it for longer than in a callout that may go on, or it is too long for one. */
  const isOver = (quiet: number): boolean =>
    quiet >= OTHER_PAUSE ||
    saying === undefined ||
    now - saying.changed >= 3 * GOING_ON ||
    now - saying.since >= longest;

  const isOther = (): boolean => saying !== undefined && calloutIn(saying.text) === '';

  const isLongOther = (): boolean => saying !== undefined && now - saying.since >= LONG_OTHER && isOther();

  const quietFor = (): number => (clear.quietSince === undefined ? 0 : now - clear.quietSince);

  /** A clear silence has come to a length at which something is done; `ahead` only to be ready. */
  const pauseNow = (): 'pause' | 'ahead' | undefined => {
    const quiet = quietFor();
    if (quiet < SHORT_PAUSE || stream === undefined) return undefined;
    if (quiet >= PAUSE && askedAt !== clear.quietSince && (quiet >= OTHER_PAUSE || !isLongOther())) return 'pause';
    return quiet < PAUSE && askedAheadAt !== clear.quietSince && !isOther() ? 'ahead' : undefined;
  };

  /** Nothing was new for a while in a callout that goes on with other speech, which may be that of a radio behind it. */
  const isCallOver = ({ text, called }: NonNullable<typeof saying>): boolean => {
    const callout = calloutIn(text);
    return callout !== '' && callout !== text && called !== askedCall && now - called >= dueAfter(silenceOf(callout));
  };

  /** For how long nothing has to be new, for a silence of this length. */
  const dueAfter = (silence: number): number => {
    const isSounding = clear.lullSince !== undefined && now - clear.lullSince < WORD;
    return silence > TOLD_AFTER || isSounding ? silence + AFTER_LONG : silence - BEFORE_SHORT;
  };

  const look = async (isEnded: boolean): Promise<void> => {
    if (stream === undefined) return;
    const pause = pauseNow();
    if (pause === 'ahead') {
      askedAheadAt = clear.quietSince;
      return askAhead(stream);
    }
    const quiet = quietFor();
    if (pause === 'pause') {
      askedAt = clear.quietSince;
      return ask(stream, quiet);
    }
    if (saying === undefined || now < notBefore) return;
    const wanted = silenceOf(saying.text);
    const lull = clear.lullSince;
    const isLull = lull !== undefined && lull !== askedLull && now - lull >= wanted + LULL;
    if (isLull) askedLull = lull;
    const isCall = isCallOver(saying);
    if (isCall) askedCall = saying.called;
    const isDue = isLull || isCall || now - saying.changed >= dueAfter(wanted);
    if (isEnded || isDue || now - saying.since >= longest) await ask(stream, quiet);
  };

  /** Nothing is under way, and nothing sounds that could begin something. */
  const mayRest = (): boolean => {
    const since = clear.stillSince;
    return saying === undefined && pending === undefined && since !== undefined && now - since >= REST_AFTER;
  };

  const step = async (): Promise<void> => {
    if (ruleset === undefined) return;
    if (mayRest()) {
      stream?.heard.close();
      stream = undefined;
      fed = now;
      return;
    }
    if (isPending() && pending?.rulesetId === ruleset.id) {
      if (quietFor() >= PAUSE) understood = pending.heard;
      if (quietFor() >= pending.silence) await tell(pending.heard);
      return;
    }
    // Another ruleset, somebody who goes on, or a rest that is over: what is being said is heard again.
    if (stream?.rulesetId !== ruleset.id) {
      pending = undefined;
      await open(anchor());
    }
    await look(await feed());
  };

  const intake = createSoundIntake(options, {
    async frame(frame, next) {
      now = next;
      clear.next(frame, next);
      const isPause = isPending() ? quietFor() >= (pending?.silence ?? 0) : pauseNow() !== undefined;
      if ((next - options.firstSample) % STEP !== 0 && !isPause) return;
      try {
        await step();
      } catch {
        // The engine died: it hears again what was being said. Should it die again, that is told.
        stream = undefined;
        pending = undefined;
        await open(anchor());
        await look(await feed());
      }
    },
    needed: () => Math.min(anchor(), fed, Math.max(options.firstSample, now - KEPT)),
    clock: events.clock,
  });

  return {
    listenFor(next) {
      ruleset = next;
      // Now, and not when the first word of it is heard.
      sentences();
    },
    push: (samples, rate) => intake.push(samples, rate),
    async flush() {
      await intake.flush();
      if (pending !== undefined && isPending()) return events.heard(pending.heard, now);
      if (pending !== undefined) await open(anchor());
      await feed();
      const understood = await stream?.heard.final();
      stream = undefined;
      if (understood === undefined) return;
      for (const { heard } of utterancesOf(understood)) await events.heard(heard, now);
    },
  };
}
