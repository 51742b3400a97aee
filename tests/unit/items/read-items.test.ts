import { describe, expect, it } from 'vitest';
import { builtInPlans } from '../../../src/check/built-in-plans.ts';
import { readPlan } from '../../../src/check/read-plan.ts';
import { cueIds } from '../../../src/grammar/select.ts';
import type { Item } from '../../../src/items/item.ts';
import { problemLine } from '../../../src/units/outcome.ts';
import { loadGrammar } from '../../support/grammar.ts';

const cues = new Set(cueIds(loadGrammar()));
const CAB = builtInPlans(cues).find(({ id }) => id === 'cab')!;

/** The plan of the cab with its items changed, as a department's file. */
function refused(change: (items: Item[]) => readonly unknown[], more: object = {}): string {
  const [step] = structuredClone(CAB.steps) as unknown as { items: Item[] }[];
  const json = { ...CAB, steps: [{ ...step, items: change(step!.items), ...more }] };
  const read = readPlan(json, 'ours.json', cues);
  return read.ok ? 'taken' : problemLine(read.problem);
}

describe('a department’s own list of items', () => {
  it('is taken as it is exported', () => {
    expect(refused((items) => items)).toBe('taken');
    const own: Item = { ...CAB.steps[0]!.items![0]!, id: 'map-book', title: 'Map book', names: ['map book'] };
    expect(refused((items) => [...items, own])).toBe('taken');
  });

  it.each<[string, (items: Item[]) => readonly unknown[], RegExp]>([
    ['no items', () => [], /items is empty/],
    [
      '500 items',
      (items) => Array.from({ length: 500 }, (_, at) => ({ ...items[0], id: `x${at}` })),
      /500 items.*told apart by ear/,
    ],
    [
      'one name twice',
      (items) => [...items, { ...items[0], id: 'other' }],
      /“seat” is the name of two items, seat and other.*by ear/,
    ],
    ['one id twice', (items) => [...items, items[0]!], /Two items have the id “seat”/],
    [
      'one word for two things',
      ([one, ...rest]) => [{ ...one, bad: [{ ...one!.bad[0], words: ['secure'] }] }, ...rest],
      /“secure” says two things of seat/,
    ],
    ['a name that is no words', ([one, ...rest]) => [{ ...one, names: ['seat | belt'] }, ...rest], /plain words/],
    ['nothing that may be bad', ([one, ...rest]) => [{ ...one, bad: [] }, ...rest], /bad in at least one way/],
    [
      'a source that is not listed',
      ([one, ...rest]) => [{ ...one, bad: [{ ...one!.bad[0], source: 'x' }] }, ...rest],
      /“x” is not among the sources/,
    ],
    [
      'a limit above the greatest value',
      ([one, ...rest]) => [
        {
          ...one,
          measure: {
            what: 'tread',
            unit: '32nds',
            said: ['thirty seconds'],
            max: 32,
            limits: [{ below: 40, class: 'report', source: 'appendix-a' }],
          },
        },
        ...rest,
      ],
      /40 is above the greatest value of 32/,
    ],
  ])('is refused in one line with %s', (_, change, line) => {
    const told = refused(change);
    expect(told).toMatch(line);
    expect(told).not.toContain('\n');
  });

  it('is refused where a place has no name, or another kind of step has items', () => {
    const { steps } = CAB;
    const read = (step: object) => readPlan({ ...CAB, steps: [step] }, 'ours.json', cues);
    const nameless = read({ ...steps[0], names: undefined });
    expect(nameless.ok).toBe(false);
    const confirm = read({ ...steps[0], kind: 'confirm', cues: ['chocks-set'] });
    expect(!confirm.ok && problemLine(confirm.problem)).toMatch(/has no use for items/);
  });
});
