import type { Answer } from '../check/answer.ts';
import type { Ms } from '../units/time.ts';
import { word, wordCaution, type Phrase } from './wording.ts';
import type { TalkLevel } from './level.ts';
import { isTone, tone } from './tones.ts';

/**
 * What becomes of something to say: `caution` and `warning` are said whatever happens; `question` until it is answered; `news` within
 * some seconds; `call` while it is new that a time has begun or ended; `receipt` and `count` at once or never; `brief` when the operator has
 * been silent for a while.
 */
type Weight = 'caution' | 'warning' | 'question' | 'news' | 'receipt' | 'call' | 'count' | 'brief';

/** Something to say, and since when. */
interface Saying {
  readonly phrases: readonly Phrase[];
  readonly weight: Weight;
  readonly since: Ms;
  /** What it says. */
  readonly of?: Answer;
  /** The operator spoke into it. */
  readonly again?: true;
}

/** Who speaks, and what waits to be said. Times on any one clock, ms. */
export interface Talk {
  readonly waiting: readonly Saying[];
  readonly saying?: Saying | undefined;
  /** What was said or begun last. */
  readonly last?: Saying | undefined;
  /** Since when the operator speaks. */
  readonly operatorSince?: Ms | undefined;
  /** How often the tool fell silent for somebody, without an answer to anything since. */
  readonly fellSilent?: number;
  /** When anybody was last heard. */
  readonly heardAt: Ms;
  /** What was asked and is not answered, and how often it was asked again. */
  readonly open?: { readonly saying: Saying; readonly times: number } | undefined;
  /** What is due, since when, and how often that was said. */
  readonly awaited?: { readonly due: Answer; readonly since: Ms; readonly times: number } | undefined;
}

export const SILENCE: Talk = { waiting: [], heardAt: -Infinity };

/** What happens in a conversation. */
export type Happening =
  | { readonly is: 'answers'; readonly answers: readonly Answer[]; readonly level: TalkLevel }
  /** The operator begins or ends to speak; `pressed` for it, so that it is nobody else. */
  | { readonly is: 'operator'; readonly speaks: boolean; readonly pressed?: boolean }
  /** The tool has said what it was saying. */
  | { readonly is: 'said' }
  /** `due`: what the operator alone keeps waiting for; the same object as long as it is the same. */
  | { readonly is: 'time'; readonly due?: { readonly answer: Answer; readonly level: TalkLevel } | undefined };

/** What the voice is to do: fall silent, and then say something. */
export interface Turn {
  readonly talk: Talk;
  readonly cut: boolean;
  readonly say?: Saying;
}

/** How long something may wait and still be of its moment. */
const LATEST: Readonly<Record<Weight, Ms>> = {
  caution: Infinity,
  warning: Infinity,
  question: Infinity,
  news: 8_000,
  receipt: 1_500,
  call: 4_000,
  count: 400,
  brief: 20_000,
};
/** A brief is said after so much silence in a new step, but at the full level. */
const BRIEF_AFTER: Ms = 3_000;
/** After the operator the tool waits so long before it says again what was cut off: their words may answer it. */
const AGAIN_AFTER: Ms = 1_000;
/** A sound that goes on for longer is none of the operator's. */
const LONGEST_SPEECH: Ms = 8_000;

/** The conversation after something happened at `now`. */
export function converse(talk: Talk, happening: Happening, now: Ms): Turn {
  switch (happening.is) {
    case 'answers':
      return next(withAnswers(talk, happening, now), now);
    case 'operator':
      if (happening.speaks) return interrupted(happening.pressed === true ? { ...talk, fellSilent: 0 } : talk, now);
      return next(uncut({ ...talk, operatorSince: undefined, heardAt: now }), now);
    case 'said':
      return next(uncut({ ...talk, saying: undefined, heardAt: now }), now);
    case 'time':
      return next(uncut(attending(reminded(talk, now), happening.due, now)), now);
  }
}

interface Step {
  readonly talk: Talk;
  readonly cut: boolean;
}

const uncut = (talk: Talk): Step => ({ talk, cut: false });

/** Answers to something new overtake what was still to be said of what was before it. */
function withAnswers(talk: Talk, { answers, level }: Extract<Happening, { is: 'answers' }>, now: Ms): Step {
  const news = answers.flatMap((answer) => {
    if (answer.type === 'again') return saidAgain(talk, answer, level, now);
    return level !== 'full' && isSaidBy(answers, answer) ? [] : sayings(answer, level, now, answers.length > 1);
  });
  const isNew = answers.some(({ type }) => type !== 'time-left' && type !== 'call-needles' && type !== 'again');
  const isAside = answers.every(({ type }) => ASIDE.has(type));
  const kept = talk.waiting.filter(
    ({ weight, phrases }) =>
      // What was cut off by “say again” is not said twice.
      !news.some((each) => each.phrases === phrases) &&
      (!isNew || KEPT.has(weight) || (isAside && weight === 'question')),
  );
  const { saying } = talk;
  const isOvertaken = isNew && saying !== undefined && news.length > 0 && OVERTAKEN.has(saying.weight);
  return {
    talk: {
      ...talk,
      waiting: [...kept, ...news],
      ...(isNew ? { fellSilent: 0 } : {}),
      ...(isNew
        ? { open: opened(answers, news) ?? (isAside ? talk.open : undefined) }
        : isCalledAgain(answers)
          ? { open: needlesOpen(news) }
          : {}),
      ...(isOvertaken ? { saying: undefined } : {}),
    },
    cut: isOvertaken,
  };
}

/** What is new leaves this to be said. */
const KEPT: ReadonlySet<Weight> = new Set(['caution', 'warning', 'news']);
/** Answers that leave open what is asked. */
const ASIDE: ReadonlySet<Answer['type']> = new Set(['time-left', 'not-here', 'listens']);

/** Where the whole check passed, its last step did. */
function isSaidBy(answers: readonly Answer[], answer: Answer): boolean {
  if (answer.type !== 'verdict' || answer.result.verdict !== 'pass') return false;
  return answers.some((end) => end.type === 'finished' && end.verdict === 'pass');
}

/** The last thing that was said, whatever it was; where a tone said it, in words. Before anything was, what the check would say. */
function saidAgain(
  { last }: Talk,
  answer: Extract<Answer, { type: 'again' }>,
  level: TalkLevel,
  since: Ms,
): readonly Saying[] {
  const { phrases, of = answer.answer } = last ?? {};
  if (phrases === undefined || phrases.every(isTone))
    return [
      { phrases: [...wordCaution(of), ...word(of, phrases === undefined ? level : 'full')], weight: 'news', since, of },
    ];
  return [{ phrases, weight: 'news', since, of }];
}

/** The operator owes an answer, or needles. */
const OPEN: ReadonlySet<Answer['type']> = new Set(['repeat', 'unfit-start', 'contradicted']);

function opened(answers: readonly Answer[], news: readonly Saying[]): Talk['open'] {
  const saying =
    news.findLast(({ weight }) => weight === 'question') ?? news.findLast(({ weight }) => weight === 'warning');
  if (saying === undefined) return undefined;
  if (saying.weight === 'question') return { saying, times: 0 };
  return answers.some(({ type }) => OPEN.has(type)) ? { saying, times: 1 } : undefined;
}

function isCalledAgain(answers: readonly Answer[]): boolean {
  return answers.some((answer) => answer.type === 'call-needles' && answer.again === true);
}

/** The needles were called for twice: from then on a tone alone asks for them. */
function needlesOpen(news: readonly Saying[]): Talk['open'] {
  const [saying] = news;
  return saying === undefined ? undefined : { saying, times: ASKED_AGAIN.length };
}

/** A question is asked again after a while, and once more as a reminder; then a tone alone says that it is open. */
const ASKED_AGAIN: readonly Ms[] = [6_000, 20_000];
const TONE_EVERY: Ms = 30_000;

function reminded(talk: Talk, now: Ms): Talk {
  const { open, heardAt, saying, waiting } = talk;
  if (open === undefined || saying !== undefined || waiting.length > 0 || isSpeaking(talk, now)) return talk;
  if (now < heardAt + (ASKED_AGAIN[open.times] ?? TONE_EVERY)) return talk;
  const phrases =
    open.times < ASKED_AGAIN.length ? open.saying.phrases : [tone(open.saying.weight === 'call' ? 'call' : 'asked')];
  return {
    ...talk,
    waiting: [
      { phrases, weight: 'receipt', since: now, ...(open.saying.of === undefined ? {} : { of: open.saying.of }) },
    ],
    open: { ...open, times: open.times + 1 },
  };
}

/** Silence where something is due: a reminder in few words, and from then on a tone. */
const LOST_AFTER: Ms = 20_000;

function attending(talk: Talk, next: Extract<Happening, { is: 'time' }>['due'], now: Ms): Talk {
  if (next === undefined) return talk.awaited === undefined ? talk : { ...talk, awaited: undefined };
  const { answer: due, level } = next;
  const awaited = talk.awaited?.due === due ? talk.awaited : { due, since: now, times: 0 };
  const { open, saying, waiting, heardAt } = talk;
  const isQuiet = open === undefined && saying === undefined && waiting.length === 0 && !isSpeaking(talk, now);
  const { since, times } = awaited;
  if (!isQuiet || now < Math.max(heardAt, since) + (times === 0 ? LOST_AFTER : TONE_EVERY)) return { ...talk, awaited };
  const phrases = times === 0 ? word(due, level === 'full' ? 'short' : level) : [tone('asked')];
  return {
    ...talk,
    waiting: [{ phrases, weight: 'receipt', since: now, of: due }],
    awaited: { due, since: now, times: times + 1 },
  };
}

const OVERTAKEN: ReadonlySet<Weight> = new Set(['question', 'receipt', 'call', 'count', 'brief']);
const SAID_AGAIN: ReadonlySet<Weight> = new Set(['caution', 'warning', 'question']);

/** Falls silent for no more sounds of which no words come: they may be its own, and a caution has to come to its end. */
const MOST_SILENT = 2;

function interrupted(talk: Talk, now: Ms): Turn {
  const { saying, fellSilent = 0 } = talk;
  if (saying !== undefined && fellSilent >= MOST_SILENT)
    return { talk: { ...talk, operatorSince: now, heardAt: now }, cut: false };
  const again: readonly Saying[] =
    saying !== undefined && SAID_AGAIN.has(saying.weight) ? [{ ...saying, again: true }] : [];
  const waiting = [...again, ...talk.waiting];
  return {
    talk: {
      ...talk,
      waiting,
      saying: undefined,
      operatorSince: now,
      heardAt: now,
      fellSilent: fellSilent + (saying === undefined ? 0 : 1),
    },
    cut: saying !== undefined,
  };
}

/** Says the first that waits and is still of its moment, where nobody speaks. */
function next({ talk, cut }: Step, now: Ms): Turn {
  const waiting = talk.waiting.filter(({ weight, since }) => now <= since + LATEST[weight]);
  const say =
    talk.saying !== undefined || isSpeaking(talk, now) ? undefined : waiting.find((each) => isReady(each, talk, now));
  if (say === undefined) return { talk: { ...talk, waiting }, cut };
  // A count is over before anybody can ask for it.
  const last = say.weight === 'count' ? talk.last : say;
  return { talk: { ...talk, waiting: waiting.filter((each) => each !== say), saying: say, last }, cut, say };
}

function isSpeaking({ operatorSince }: Talk, now: Ms): boolean {
  return operatorSince !== undefined && now < operatorSince + LONGEST_SPEECH;
}

/** What is new is said at once; what was cut off waits for the answer to the words that cut it. */
function isReady({ weight, since, again }: Saying, { heardAt }: Talk, now: Ms): boolean {
  if (weight === 'brief') return now >= Math.max(since, heardAt) + BRIEF_AFTER;
  return again !== true || now >= heardAt + AGAIN_AFTER;
}

const WEIGHTS: Readonly<Record<Answer['type'], Weight>> = {
  brief: 'brief',
  'read-back': 'receipt',
  noted: 'receipt',
  question: 'question',
  whose: 'question',
  again: 'news',
  listens: 'news',
  'missing-circuit': 'question',
  'call-again': 'question',
  // The read-back before it may take two seconds.
  'hold-started': 'call',
  'hold-not-over': 'receipt',
  'window-started': 'call',
  'time-left': 'count',
  'call-needles': 'call',
  repeat: 'warning',
  contradicted: 'warning',
  'unfit-start': 'warning',
  left: 'warning',
  fork: 'warning',
  sticks: 'warning',
  'say-what-it-was': 'question',
  verdict: 'news',
  'still-needed': 'receipt',
  'ask-skip-reason': 'question',
  skipped: 'receipt',
  'went-back': 'receipt',
  paused: 'receipt',
  resumed: 'receipt',
  'ask-stop': 'question',
  'going-on': 'receipt',
  'ask-note': 'question',
  'note-taken': 'receipt',
  'not-here': 'receipt',
  'items-noted': 'receipt',
  'item-bad': 'warning',
  'item-sticks': 'warning',
  'items-again': 'question',
  'item-impossible': 'question',
  'passed-over': 'warning',
  'open-defects': 'warning',
  finished: 'warning',
};

/** It waits for the operator's answer. */
export function isQuestion({ type }: Answer): boolean {
  return WEIGHTS[type] === 'question';
}

/**
 * What is said of an answer. At the full level nothing waits for silence; at the others a brief does, and what is still needed after words
 * that were answered otherwise (`isBeside`): who is about to say it need not be told. A bad verdict is a warning at every level.
 */
function sayings(answer: Answer, level: TalkLevel, since: Ms, isBeside: boolean): readonly Saying[] {
  const [phrases, caution] = [word(answer, level), wordCaution(answer)];
  const isBad =
    answer.type === 'verdict' && (answer.result.verdict === 'fail' || answer.result.verdict === 'not judged');
  const isSaid = answer.type === 'time-left' && answer.asked === true;
  const weight = isBad
    ? 'warning'
    : isSaid || (answer.type === 'brief' && level === 'full')
      ? 'news'
      : isBeside && answer.type === 'still-needed' && level !== 'full'
        ? 'brief'
        : WEIGHTS[answer.type];
  return [
    ...(caution.length === 0 ? [] : [{ phrases: caution, weight: 'caution', since, of: answer } as const]),
    ...(phrases.length === 0 ? [] : [{ phrases, weight, since, of: answer } as const]),
  ];
}
