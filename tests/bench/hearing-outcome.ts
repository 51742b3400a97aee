import { isLowConfidence } from '../../src/check/doubt.ts';
import type { CalloutEvent } from '../../src/check/event.ts';
import type { Meaning, SpokenReading } from '../../src/grammar/meaning.ts';
import { calloutOf } from '../../src/running/callout-of.ts';
import { closingReading, plainReading } from './hearing-check.ts';
import type { HeardLine, Line } from './hearing-lines.ts';
import { KIND, language } from './hearing-sets.ts';

/** What became of one thing said. */
export interface Outcome {
  /** Heard as said, in meaning, or word by word in a closed set; whatever is asked then. */
  readonly exact: boolean;
  /** Heard as something else, whole or in part. */
  readonly wrong: boolean;
  /** Asked about, or for the needle that was not heard; right or wrong. */
  readonly asked: boolean;
  /** Something that was not said is taken without a question. */
  readonly wrongTaken: boolean;
  /** The same for the reading that closes a hold, where a drop that would fail and a rise raise a question. */
  readonly wrongInHold: boolean;
  /** Callouts that came of what was not for us. */
  readonly callouts: number;
}

/**
 * Which ear's word counts: `both`, the first with the second opinion where a check asks for it; `alone`, the first only; or any other way to
 * make a confidence, and an agreement, of what was heard.
 */
export type Policy = 'both' | 'alone' | ((heard: HeardLine) => Pick<CalloutEvent, 'confidence' | 'agreed'>);

/** What a check makes of what was heard. */
export function outcomeOf(line: Line, policy: Policy): Outcome {
  const events = line.heard.filter(({ text }) => text !== '').map((heard) => eventOf(line, heard, policy));
  if (line.said === null) return { ...NOTHING, callouts: events.filter(({ meaning }) => counts(meaning)).length };
  const kind = KIND[line.set];
  if (kind === 'words') return ofWords(line.said, events);
  return kind === 'readings' ? ofReading(line, line.said, events) : ofCue(line, line.said, events);
}

const NOTHING: Outcome = {
  exact: false,
  wrong: false,
  asked: false,
  wrongTaken: false,
  wrongInHold: false,
  callouts: 0,
};

function eventOf({ ear, set, rules }: Line, heard: HeardLine, policy: Policy): CalloutEvent {
  const { start, end, text, rejected, confidence, second } = heard;
  const asked = policy === 'both' && second?.asked === true ? { agreed: second.agreed } : {};
  const weighed = typeof policy === 'function' ? policy(heard) : { confidence, ...asked };
  const { agreed, ...rest } = weighed;
  const said = { start, end, text, rejected, engine: ear, source: 'voice' as const, ...rest };
  // Words of a closed list have no rules of the grammar.
  const known = KIND[set] === 'words' ? [] : rules;
  return calloutOf({ ...said, ...(agreed === undefined ? {} : { agreed }) }, known, 'psi', language);
}

/** A bare "yes" or "no" does nothing where nothing was asked. */
function counts(meaning: Meaning | undefined): boolean {
  if (meaning === undefined) return false;
  const isAnswer = meaning.command === 'yes' || meaning.command === 'no';
  return !isAnswer || meaning.reading !== undefined || meaning.cues.length > 0;
}

function ofWords(said: string, events: readonly CalloutEvent[]): Outcome {
  const text = events.map(({ heard }) => heard).join(' ');
  if (text === '') return NOTHING;
  const asked = events.some((event) => isLowConfidence(event));
  const exact = text === said;
  return { ...NOTHING, exact, wrong: !exact, asked, wrongTaken: !exact && !asked };
}

function ofReading({ rules }: Line, said: string, all: readonly CalloutEvent[]): Outcome {
  const truth = language.parse(rules, said, 'psi')?.reading;
  if (truth === undefined) throw new Error(`the grammar has no “${said}”`);
  const events = all.filter(({ meaning }) => meaning !== undefined);
  if (events.length === 0) return NOTHING;
  const heard = events.reduce<SpokenReading>((sum, { meaning }) => ({ ...sum, ...meaning?.reading }), {});
  const others = events.some(({ meaning }) => (meaning?.cues.length ?? 0) > 0);
  const exact = !others && isWhole(heard) && !differs(heard, truth);
  const plain = plainReading(events);
  const hold = closingReading(events, truth);
  return {
    ...NOTHING,
    exact,
    wrong: !exact,
    asked: plain.asked,
    wrongTaken: differs(plain.taken, truth) || plain.cue,
    wrongInHold: differs(hold.taken, truth) || hold.cue,
  };
}

function isWhole({ primary, secondary }: SpokenReading): boolean {
  return primary !== undefined && secondary !== undefined;
}

function differs(heard: SpokenReading, truth: SpokenReading): boolean {
  return (['primary', 'secondary'] as const).some(
    (circuit) => heard[circuit] !== undefined && heard[circuit].value !== truth[circuit]?.value,
  );
}

/** A cue that is not heard, or heard too faintly to count, has to be said again. */
function ofCue({ rules }: Line, said: string, events: readonly CalloutEvent[]): Outcome {
  const truth = meaningOf(rules, said);
  const heard = events.map((event) => meaningOf(rules, event.heard));
  const exact = heard.length === 1 && heard[0] === truth;
  const taken = events.flatMap((event) => (counts(event.meaning) ? [JSON.stringify(event.meaning)] : []));
  return {
    ...NOTHING,
    exact: exact && taken.length > 0,
    wrong: heard.length > 0 && !exact,
    asked: exact && taken.length === 0,
    wrongTaken: taken.some((each) => each !== truth),
  };
}

function meaningOf(rules: readonly string[], text: string): string {
  return JSON.stringify(language.parse(rules, text, 'psi'));
}
