import type { CalloutEvent } from '../../src/check/event.ts';
import { isLowConfidence } from '../../src/check/doubt.ts';
import type { Meaning } from '../../src/grammar/meaning.ts';
import { parse } from '../../src/grammar/parse.ts';
import { createEndpointer, type EndpointEvent, type Utterance } from '../../src/hearing/endpointer.ts';
import type { Heard, Recogniser } from '../../src/hearing/port.ts';
import { samplesToMs } from '../../src/units/time.ts';
import { dieselIdle, joined, over, rms, silence } from '../unit/hearing/signals.ts';
import { closingReading, plainReading } from './hearing-check.ts';
import { grammar, type MaterialSet } from './hearing-sets.ts';

const BEFORE = silence(2500);
const AFTER = silence(1000);

/** How often each thing happened in one set at one noise level. */
export interface Row {
  said: number;
  /** Heard as said: for readings in meaning, else word by word. */
  exact: number;
  /** Heard as something else. */
  wrong: number;
  nothing: number;
  /** Taken as another reading or cue without a question: by a step without limits, and as the closing reading of a hold. */
  wrongTaken: number;
  wrongTakenInHold: number;
  /** Asked about, or for the circuit that was not heard, by a step without limits; right or wrong. */
  asked: number;
  /** Minutes of the speech itself. */
  minutes: number;
}

export interface Cost {
  /** Ms of processor time, and of sound, in decoding. */
  processor: number;
  sound: number;
  /** Ms from the end of the last word to the moment the endpointer tells, and to the result, were the sound live. */
  readonly endpoint: number[];
  readonly result: number[];
}

/** Lets the engine hear a set over a noise of `db` below the speech; quiet when absent. `done` is called after each. */
export async function measure(
  engine: Recogniser,
  { kind, ruleset, material }: MaterialSet,
  db: number | undefined,
  cost: Cost,
  done: () => void,
): Promise<Row> {
  await engine.setGrammar(ruleset);
  const row: Row = {
    said: material.length,
    exact: 0,
    wrong: 0,
    nothing: 0,
    wrongTaken: 0,
    wrongTakenInHold: 0,
    asked: 0,
    minutes: 0,
  };
  for (const [i, { text, sound }] of material.entries()) {
    const whole = joined(BEFORE, sound, AFTER);
    const noisy = db === undefined ? whole : over(whole, dieselIdle(whole.length, i + 1), rms(sound), db);
    const heard = await hear(engine, noisy, cost);
    row.minutes += samplesToMs(sound.length) / 60_000;
    if (kind === 'unrelated') countUnrelated(row, heard, ruleset.rules);
    else if (kind === 'words') countWords(row, heard, text ?? '');
    else countReading(row, heard, text ?? '', ruleset.rules);
    done();
  }
  return row;
}

function countUnrelated(row: Row, heard: readonly Heard[], rules: readonly string[]): void {
  const callouts = heard.filter(({ text }) => parse(grammar, rules, text, 'psi') !== undefined);
  row.wrong += callouts.length;
  if (callouts.length === 0) row.nothing += 1;
}

function countWords(row: Row, heard: readonly Heard[], text: string): void {
  const got = heard.map((each) => each.text).join(' ');
  if (got === '') {
    row.nothing += 1;
    return;
  }
  const asked = heard.some((each) => isLowConfidence(eventOf(each, undefined)));
  if (asked) row.asked += 1;
  if (got === text) row.exact += 1;
  else row.wrong += 1;
  if (got !== text && !asked) row.wrongTaken += 1;
}

function countReading(row: Row, heard: readonly Heard[], text: string, rules: readonly string[]): void {
  const truth = parse(grammar, rules, text, 'psi')?.reading;
  if (truth === undefined) throw new Error(`the grammar has no "${text}"`);
  // Where a pause cut it in two, what the check makes of the first part counts: the second comes as a callout of its own.
  const events = heard.flatMap((each) => {
    const meaning = parse(grammar, rules, each.text, 'psi');
    return meaning === undefined ? [] : [eventOf(each, meaning)];
  });
  const [event] = events;
  if (event === undefined) {
    row.nothing += 1;
    return;
  }
  const got = event.meaning?.reading;
  const whole = got?.primary !== undefined && got.secondary !== undefined;
  const differs = (['primary', 'secondary'] as const).some(
    (circuit) => got?.[circuit] !== undefined && got[circuit].value !== truth[circuit]?.value,
  );
  const right = !differs && got !== undefined;
  if (right && whole && events.length === 1) row.exact += 1;
  else row.wrong += 1;
  // A command taken by mistake ("how long left") changes no figure.
  const counts = got !== undefined || (event.meaning?.cues.length ?? 0) > 0;
  const plain = plainReading(event);
  if (plain === 'asked' || (plain === 'taken' && right && !whole)) row.asked += 1;
  if (plain === 'taken' && !right && counts) row.wrongTaken += 1;
  if (closingReading(event, truth) === 'taken' && !right && counts) row.wrongTakenInHold += 1;
}

function eventOf({ start, end, text, confidence, engine }: Heard, meaning: Meaning | undefined): CalloutEvent {
  return {
    type: 'callout',
    at: start,
    end,
    heard: text,
    confidence,
    source: 'voice',
    engine,
    ...(meaning === undefined ? {} : { meaning }),
  };
}

async function hear(engine: Recogniser, sound: Float32Array, cost: Cost): Promise<Heard[]> {
  const all: Heard[] = [];
  for (const { utterance, told } of cut(sound)) {
    const processor = process.cpuUsage();
    const heard = await engine.recognise(sound.slice(utterance.start, utterance.end), utterance.start);
    const { user, system } = process.cpuUsage(processor);
    const took = (user + system) / 1000;
    cost.processor += took;
    cost.sound += samplesToMs(utterance.end - utterance.start);
    if (heard.text === '') continue;
    all.push(heard);
    const endpoint = samplesToMs(told) - heard.end;
    cost.endpoint.push(endpoint);
    // Decoding begins 200 ms before the end is told.
    cost.result.push(Math.max(endpoint, endpoint - 200 + took));
  }
  return all;
}

function cut(sound: Float32Array): { readonly utterance: Utterance; readonly told: number }[] {
  const endpointer = createEndpointer();
  const found: { utterance: Utterance; told: number }[] = [];
  const take = (events: readonly EndpointEvent[], told: number): void => {
    for (const event of events) if (event.type === 'ended') found.push({ utterance: event.utterance, told });
  };
  for (let at = 0; at + 160 <= sound.length; at += 160) take(endpointer.next(sound.subarray(at, at + 160)), at + 160);
  take(endpointer.flush(), sound.length);
  return found;
}
