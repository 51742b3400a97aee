import { describe, expect, it } from 'vitest';
import { whoSaid } from '../../../src/running/own-words.ts';

const NONE = { clear: 0, operator: 0, own: 0, unknown: 0 } as const;

describe('words that are heard while the tool speaks', () => {
  it('are the operator’s where the tool cannot be heard, and where the sound says so', () => {
    expect(whoSaid('engine off', undefined, ['engine off'])).toBe('operator');
    expect(whoSaid('engine off', { ...NONE, operator: 0.7, own: 0.3 }, ['engine off'])).toBe('operator');
    expect(whoSaid('engine off', { ...NONE, clear: 1 }, [])).toBe('operator');
  });

  it('are the tool’s where the sound says so, whatever the words', () => {
    expect(whoSaid('rig held', { ...NONE, own: 0.6, clear: 0.4 }, ['engine off'])).toBe('own');
  });

  it('where the sound does not tell, are the tool’s when it was saying them, and else not clear', () => {
    const unknown = { ...NONE, unknown: 0.6, clear: 0.4 };
    const said = ['Heard primary one zero five, secondary one one eight.'];
    expect(whoSaid('primary one zero five secondary one one eight', unknown, said)).toBe('own');
    expect(whoSaid('one one eight', unknown, said)).toBe('own');
    expect(whoSaid('primary one one six', unknown, said)).toBe('unclear');
    expect(whoSaid('engine started', unknown, said)).toBe('unclear');
  });

  it('where nothing but noise was made out, are the operator’s unless they repeat what the tool was saying', () => {
    const clear = { ...NONE, clear: 1 };
    const said = ['The brakes are released now: wheels chocked, level ground.'];
    expect(whoSaid('brakes released', clear, said)).toBe('own');
    expect(whoSaid('foot brakes are released', clear, said)).toBe('unclear');
    expect(whoSaid('engine started', clear, said)).toBe('operator');
    expect(whoSaid('brakes released', clear, [])).toBe('operator');
  });
});
