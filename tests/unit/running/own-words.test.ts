import { describe, expect, it } from 'vitest';
import { whoSaid } from '../../../src/running/own-words.ts';

const NONE = { clear: 0, operator: 0, somebody: 0, own: 0, unknown: 0 } as const;

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

  it('are the operator’s where a voice was heard from which nothing was taken out, and nothing that was played is in it', () => {
    const somebody = { ...NONE, somebody: 0.8, clear: 0.2 };
    expect(whoSaid('engine off', somebody, ['Needed: engine off.'])).toBe('operator');
    expect(whoSaid('engine off', { ...NONE, unknown: 1 }, [], ['Needed: engine off.'])).toBe('own');
    expect(whoSaid('both one one eight', { ...NONE, unknown: 1 }, [], ['Needed: engine off.'])).toBe('unclear');
  });

  it('are not clear where their beginning may be the end of the tool’s', () => {
    const parts = { ...NONE, unknown: 0.35, operator: 0.65 };
    expect(whoSaid('settled primary one one eight', parts, ['Needed: settled.'])).toBe('unclear');
    expect(whoSaid('primary one one eight', parts, ['Needed: settled.'])).toBe('operator');
    expect(whoSaid('engine started', { ...NONE, own: 0.5, operator: 0.5 }, ['Needed: settled.'])).toBe('operator');
  });

  it('where nothing but noise was made out, may be an echo too soft to be found: nobody knows', () => {
    const clear = { ...NONE, clear: 1 };
    const said = ['The brakes are released now: wheels chocked, level ground.'];
    expect(whoSaid('brakes released', clear, said)).toBe('unclear');
    expect(whoSaid('foot brakes are released', clear, said)).toBe('unclear');
    expect(whoSaid('pause', clear, ['Paused. Say resume to go on.'])).toBe('unclear');
    expect(whoSaid('pause', { ...NONE, somebody: 0.6, clear: 0.4 }, ['Paused. Say resume to go on.'])).toBe('operator');
    expect(whoSaid('brakes released', clear, [])).toBe('operator');
  });
});
