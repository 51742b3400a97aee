import type { AppliedLimit, Why } from '../../judging/result.ts';
import { plainNumber } from '../../answering/written.ts';

/**
 * The formula with the numbers put in: `2 psi × 60 s ÷ 61.2 s`. Undefined when not every number has its own place in
 * it, as in a sum over circuits; the numbers are then to be listed.
 */
export function withNumbers({ formula, inputs }: Pick<Why, 'formula' | 'inputs'>): string | undefined {
  if (inputs.length === 0) return undefined;
  let text = formula;
  const values: string[] = [];
  for (const { name, value, unit } of inputs) {
    const word = namesOf(name).find((candidate) => text.split(candidate).length === 2);
    if (word === undefined) return undefined;
    text = text.replace(word, `\u0000${String(values.length)}\u0000`);
    values.push(`${plainNumber(value)} ${unit}`);
  }
  return text.replace(/\u0000(\d+)\u0000/g, (_, at: string) => values[Number(at)] ?? '');
}

/** What an input may be called in a formula: `primary, first reading` is its `first reading`. */
function namesOf(name: string): readonly string[] {
  const bare = name.replace(/^(primary|secondary),? /, '');
  return [name, bare, bare.replace(/,.*$/, '')];
}

/** `at least 20 psi and at most 45 psi`. */
export function boundsText({ min, max, strict, unit, about }: AppliedLimit): string {
  const bounds = [
    min === undefined ? '' : `${strict === true ? 'more than' : 'at least'} ${plainNumber(min)} ${unit}`,
    max === undefined ? '' : `${strict === true ? 'less than' : 'at most'} ${plainNumber(max)} ${unit}`,
  ];
  return `${about === true ? 'about: ' : ''}${bounds.filter((part) => part !== '').join(' and ')}`;
}
