import { describe, expect, it } from 'vitest';
import { meaningOf, readTag, type Op } from '../../../src/grammar/tags.ts';

describe('a tag', () => {
  it.each<[string, Op]>([
    ['add 5', { do: 'add', number: 5 }],
    ['times 10', { do: 'times', number: 10 }],
    ['add 12.25', { do: 'add', number: 12.25 }],
    ['  set \t both ', { do: 'set', circuits: ['primary', 'secondary'] }],
    ['unit kPa', { do: 'unit', unit: 'kPa' }],
    ['named', { do: 'named' }],
    ['cue cut-out', { do: 'cue', id: 'cut-out' }],
    ['command say-again', { do: 'command', id: 'say-again' }],
    ['reason no-room2', { do: 'reason', id: 'no-room2' }],
    ['written  P  S  I', { do: 'written', text: 'p s i' }],
  ])('{%s}', (text, op) => {
    expect(readTag(text)).toStrictEqual(op);
  });

  it.each([
    '',
    ' ',
    'add',
    'add five',
    'add 5x',
    'add x5',
    'add -5',
    'times 1 0',
    'unit bar',
    'unit',
    'named psi',
    'set third',
    'set constructor',
    'set',
    'cue',
    'cue 9cut',
    'cue Cut',
    'cue cut_out',
    'cue cut out',
    'command dance',
    'written',
    'shout',
  ])('{%s} is none', (text) => {
    expect(readTag(text)).toBeUndefined();
  });
});

describe('what tags mean', () => {
  it('is psi where no unit is said, and nothing besides what they say', () => {
    expect(
      meaningOf([
        { do: 'add', number: 5 },
        { do: 'set', circuits: ['primary'] },
      ]),
    ).toStrictEqual({ cues: [], reading: { primary: { value: 5, unit: 'psi' } } });
    expect(meaningOf([])).toStrictEqual({ cues: [] });
    expect(meaningOf([{ do: 'command', id: 'yes' }])).toStrictEqual({ cues: [], command: 'yes' });
    expect(meaningOf([{ do: 'reason', id: 'weather' }])).toStrictEqual({ cues: [], reason: 'weather' });
  });

  it('has a cue once that is said twice in a row, and again after another', () => {
    const cue = (id: string): Op => ({ do: 'cue', id });
    expect(meaningOf([cue('settled'), cue('settled')]).cues).toEqual(['settled']);
    expect(meaningOf([cue('settled'), cue('cut-in'), cue('settled')]).cues).toEqual(['settled', 'cut-in', 'settled']);
  });
});
