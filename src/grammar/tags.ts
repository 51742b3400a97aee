import type { Pressure, PressureUnit } from '../units/pressure.ts';
import { COMMANDS } from './meaning.ts';
import type { Circuit } from '../units/circuit.ts';
import type { Command, Meaning, SpokenItem } from './meaning.ts';

/**
 * The tag language. A tag acts after the words before it, from left to right, on one number and the meaning so far:
 *
 * - `{add N}`, `{times N}`: the number grows; it starts at 0.
 * - `{unit psi}`, `{unit kPa}`: active only in a check read in that unit, which is the number's unit.
 * - `{named}`: the unit was said.
 * - `{set primary}`, `{set secondary}`, `{set both}`: the number goes to the circuit, and starts again at 0.
 * - `{number}`: the number is a pressure of no circuit in particular.
 * - `{cue ID}`, `{command ID}`, `{reason ID}`: put into the meaning.
 * - `{item ID STATE}`: what is said of an item; `{measured ID}`: the number is its value, and starts again at 0.
 * - `{move ID}`: the place that a walk goes to.
 * - `{written TEXT}`: no action; a transcript may write TEXT for the words before the tag.
 */
export type Op =
  | { readonly do: 'add'; readonly number: number }
  | { readonly do: 'times'; readonly number: number }
  | { readonly do: 'unit'; readonly unit: PressureUnit }
  | { readonly do: 'named' }
  | { readonly do: 'number' }
  | { readonly do: 'set'; readonly circuits: readonly Circuit[] }
  | { readonly do: 'cue'; readonly id: string }
  | { readonly do: 'command'; readonly id: Command }
  | { readonly do: 'reason'; readonly id: string }
  | { readonly do: 'item'; readonly id: string; readonly state: string }
  | { readonly do: 'measured'; readonly id: string }
  | { readonly do: 'move'; readonly id: string }
  | { readonly do: 'written'; readonly text: string };

const CIRCUITS: ReadonlyMap<string, readonly Circuit[]> = new Map([
  ['primary', ['primary']],
  ['secondary', ['secondary']],
  ['both', ['primary', 'secondary']],
]);

const ID = /^[a-z][a-z0-9-]*$/;

/** Reads the text between the braces; undefined when it is none of the tags above. */
export function readTag(text: string): Op | undefined {
  const [verb = '', ...rest] = text.trim().split(/\s+/);
  const argument = rest.join(' ');
  switch (verb) {
    case 'add':
    case 'times':
      return /^\d+(\.\d+)?$/.test(argument) ? { do: verb, number: Number(argument) } : undefined;
    case 'unit':
      return argument === 'psi' || argument === 'kPa' ? { do: verb, unit: argument } : undefined;
    case 'named':
    case 'number':
      return argument === '' ? { do: verb } : undefined;
    case 'set': {
      const circuits = CIRCUITS.get(argument);
      return circuits === undefined ? undefined : { do: verb, circuits };
    }
    case 'item': {
      const [id = '', state = '', ...more] = rest;
      return ID.test(id) && ID.test(state) && more.length === 0 ? { do: verb, id, state } : undefined;
    }
    case 'cue':
    case 'reason':
    case 'measured':
    case 'move':
      return ID.test(argument) ? { do: verb, id: argument } : undefined;
    case 'command': {
      const id = COMMANDS.find((command) => command === argument);
      return id === undefined ? undefined : { do: verb, id };
    }
    case 'written':
      return argument === '' ? undefined : { do: verb, text: argument.toLowerCase() };
    default:
      return undefined;
  }
}

/** What the tags passed on the way through a phrase mean. A cue said twice in a row counts once. */
export function meaningOf(ops: readonly Op[]): Meaning {
  let number = 0;
  let unit: PressureUnit = 'psi';
  const cues: string[] = [];
  const reading: { primary?: Pressure; secondary?: Pressure } = {};
  let command: Command | undefined;
  let reason: string | undefined;
  let before: number | undefined;
  const items: SpokenItem[] = [];
  let to: string | undefined;
  let bare: Pressure | undefined;
  for (const op of ops) {
    if (op.do === 'add') number += op.number;
    else if (op.do === 'times') number *= op.number;
    else if (op.do === 'unit') unit = op.unit;
    else if (op.do === 'number') bare = { value: number, unit };
    else if (op.do === 'set') {
      for (const circuit of op.circuits) reading[circuit] = { value: number, unit };
      number = 0;
      before ??= cues.length;
    } else if (op.do === 'cue' && cues.at(-1) !== op.id) cues.push(op.id);
    else if (op.do === 'command') command = op.id;
    else if (op.do === 'reason') reason = op.id;
    else if (op.do === 'item') items.push({ item: op.id, state: op.state });
    else if (op.do === 'measured') {
      items.push({ item: op.id, state: 'value', value: number });
      number = 0;
    } else if (op.do === 'move') to = op.id;
  }
  const hasReading = reading.primary !== undefined || reading.secondary !== undefined;
  return {
    cues,
    ...(hasReading ? { reading } : {}),
    ...(bare === undefined ? {} : { number: bare }),
    ...(before === undefined || before === cues.length ? {} : { before }),
    ...(command === undefined ? {} : { command }),
    ...(reason === undefined ? {} : { reason }),
    ...(items.length === 0 ? {} : { items }),
    ...(to === undefined ? {} : { move: to }),
  };
}
