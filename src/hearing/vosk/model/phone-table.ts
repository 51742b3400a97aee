import { bad, good, type Outcome } from '../../../units/outcome.ts';
import phonePairs from './phone-pairs.json' with { type: 'json' };
import phoneList from './phones.json' with { type: 'json' };
import type { PhoneTable, Place } from './search-graph.ts';

/** A phone of the acoustic model: its number from 1, and its outputs on entering it and on staying in it. */
export interface ModelPhone {
  readonly name: string;
  readonly id: number;
  readonly enter: number;
  readonly stay: number;
}

export const MODEL_PHONES: readonly ModelPhone[] = phoneList.phones;

const SILENCE = 'SIL';

/** The phones of our model and the costs of their pairs. */
export function phoneTable(): PhoneTable {
  const numbers = new Map(MODEL_PHONES.map(({ name, id }) => [name, id]));
  const indexOf = new Map(phonePairs.phones.map((phone, index) => [phone, index]));
  const row = (phone: string): number => indexOf.get(phone) ?? -1;
  return {
    silence: numbers.get(SILENCE) ?? 0,
    phones: phonePairs.phones.filter((phone) => phone !== SILENCE),
    numberOf(phone: string, place: Place) {
      const number = numbers.get(`${phone}_${place}`);
      if (number === undefined) throw new Error(`the acoustic model has no phone ${phone}_${place}`);
      return number;
    },
    // The costs as the engine's single precision holds them.
    pairCost: (before, phone) => Math.fround(phonePairs.cost[row(before ?? SILENCE)]?.[row(phone)] ?? Infinity),
  };
}

const TUPLES = '<Tuples> ';
/** Phone, state and the two outputs, each a byte that says "four bytes" and a little-endian number. */
const FIELD = 5;

/** A problem when the phones are not those of the acoustic model: its transitions would then mean other phones. */
export function checkPhones(model: Uint8Array, phones: readonly ModelPhone[] = MODEL_PHONES): Outcome<true> {
  const view = new DataView(model.buffer, model.byteOffset, model.byteLength);
  const head = new TextDecoder('latin1').decode(model.subarray(0, 65_536));
  const at = head.indexOf(TUPLES) + TUPLES.length;
  const field = (index: number): number => view.getInt32(at + index * FIELD + 1, true);
  const fits =
    at >= TUPLES.length &&
    model.length >= at + (1 + 4 * phones.length) * FIELD &&
    field(0) === phones.length &&
    phones.every(({ id, enter, stay }, index) => {
      const first = 1 + 4 * index;
      return field(first) === id && field(first + 2) === enter && field(first + 3) === stay;
    });
  if (fits) return good(true);
  return bad('The phone table does not fit the acoustic model.', 'final.mdl', 'Take both from the same training.');
}
