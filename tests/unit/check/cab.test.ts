import { describe, expect, it } from 'vitest';
import {
  cuesAgainst,
  cuesRenewing,
  grownStale,
  isAdverse,
  isRenewed,
  movedBy,
  outdated,
  says,
  speaksAgainst,
  UNCLEAR,
  type Cab,
} from '../../../src/check/cab.ts';
import { FULL } from './support/say.ts';

const heard = (cue: string, at = 1000): { at: number; heard: string } => ({ at, heard: cue });
const after = (...cues: readonly string[]): Cab => movedBy({}, cues, heard('said'));
/** The parts that are known, as "part: state". */
const known = (cab: Cab): string[] => Object.entries(cab).map(([part, fact]) => `${part}: ${fact.is}`);

/** Every part known, as one finds it where the cue must be wrong about it. */
const OTHERWISE: Cab = movedBy(
  {},
  ['engine-off', 'parking-brake-set', 'brake-applied', 'chocks-set', 'not-in-drive', 'settled'],
  heard('before'),
);

describe('what a cue says of the cab, in whatever step it is called', () => {
  it.each([
    ['engine-started', ['engine: running']],
    ['engine-off', ['engine: off', 'fast idle: off']],
    ['fast-idle-set', ['engine: running', 'fast idle: on']],
    ['fast-idle-off', ['fast idle: off']],
    ['brakes-released', ['parking brake: released', 'brake pedal: free']],
    ['parking-brake-set', ['parking brake: set']],
    ['valve-popped', ['parking brake: set']],
    ['brake-applied', ['brake pedal: applied']],
    ['pedal-released', ['brake pedal: free']],
    ['chocks-set', ['chocks: set']],
    ['chocks-stowed', ['chocks: stowed']],
    ['in-drive', ['selector: in drive']],
    ['settled', ['needles: settled']],
    // These happen to the rig; they make nothing known that must be.
    ['cut-out', []],
    ['cut-in', []],
    ['buzzer', []],
    ['rig-held', []],
    // It is stopped with the pedal.
    ['straight-stop', ['brake pedal: applied']],
    ['mirrors-set', []],
    ['pulled-left', ['brake pedal: applied']],
    ['pulled-right', ['brake pedal: applied']],
    // What is denied is the other way round.
    ['not-engine-started', ['engine: off']],
    ['not-engine-off', ['engine: running']],
    ['not-fast-idle-set', ['fast idle: off']],
    ['not-fast-idle-off', ['fast idle: on']],
    ['not-brakes-released', ['parking brake: set']],
    ['not-parking-brake-set', ['parking brake: released']],
    ['not-brake-applied', ['brake pedal: free']],
    ['not-chocks-set', ['chocks: stowed']],
    ['not-chocks-stowed', ['chocks: set']],
    ['not-in-drive', ['selector: neutral']],
  ] as const)('%s', (cue, facts) => {
    expect(known(after(cue))).toEqual(facts);
    for (const [part, fact] of Object.entries(after(cue))) {
      expect(fact).toEqual({ is: fact.is, at: 1000, heard: 'said' });
      expect(says(cue, part as keyof Cab, fact.is)).toBe(true);
    }
  });

  it('words that began before others do not take back what those say', () => {
    const applied = movedBy({}, ['brake-applied'], heard('brake applied', 9000));
    expect(known(movedBy(applied, ['brakes-released'], heard('brakes released', 8000)))).toEqual([
      'brake pedal: applied',
      'parking brake: released',
    ]);
  });

  it('the later of two cues holds, also of two in one breath', () => {
    expect(known(after('engine-off', 'engine-started'))).toEqual(['engine: running', 'fast idle: off']);
    expect(movedBy(after('engine-off'), ['engine-started'], heard('again', 2000)).engine).toEqual({
      is: 'running',
      at: 2000,
      heard: 'again',
    });
  });
});

describe('what must have been otherwise for a cue to be true is unclear from then on', () => {
  it.each([
    ['cut-out', ['engine']],
    ['cut-in', ['engine', 'brake pedal']],
    ['buzzer', ['brake pedal']],
    ['no-warning', ['brake pedal']],
    ['valve-stayed-in', ['brake pedal', 'parking brake']],
    ['rig-held', ['engine', 'selector']],
    ['rig-moved', ['engine', 'selector']],
    ['hand-valve-held', ['engine', 'selector']],
    ['straight-stop', ['engine', 'chocks', 'selector']],
    ['pulled-left', ['engine', 'chocks', 'selector']],
    ['pulled-right', ['engine', 'chocks', 'selector']],
  ] as const)('%s', (cue, gone) => {
    const left = movedBy(OTHERWISE, [cue], heard(cue));
    const unclear = Object.entries(left).filter(([, fact]) => fact.is === UNCLEAR);
    expect(unclear.map(([part]) => part).sort()).toEqual([...gone].sort());
    for (const [, fact] of unclear) expect(fact).toEqual({ is: UNCLEAR, at: 1000, heard: cue });
    for (const part of gone) expect(speaksAgainst(cue, part, OTHERWISE[part]?.is ?? '')).toBe(true);
  });

  it('an engine is not started in drive', () => {
    expect(movedBy(after('in-drive'), ['engine-started'], heard('x')).selector?.is).toBe(UNCLEAR);
  });

  it('and what it agrees with stays known, by the callout that said it', () => {
    const running = after('engine-started', 'in-drive', 'chocks-stowed');
    for (const cue of ['cut-out', 'rig-held', 'straight-stop']) {
      expect(movedBy(running, [cue], heard(cue, 9000))).toMatchObject(running);
      expect(speaksAgainst(cue, 'engine', 'running')).toBe(false);
    }
  });

  it('and needles have to settle anew after whatever moves them', () => {
    const settled = after('engine-off', 'parking-brake-set', 'brake-applied', 'chocks-set', 'settled');
    for (const cue of ['engine-started', 'brakes-released', 'fast-idle-set']) {
      expect(movedBy(settled, [cue], heard(cue)).needles, cue).toBeUndefined();
    }
    for (const cue of ['chocks-stowed', 'in-drive', 'fast-idle-off', 'engine-off']) {
      expect(movedBy(settled, [cue], heard(cue)).needles, cue).toBeDefined();
    }
  });

  it('and what is called again stays known since it was first called', () => {
    expect(movedBy(after('engine-off'), ['engine-off'], heard('again', 5000)).engine).toEqual({
      is: 'off',
      at: 1000,
      heard: 'said',
      again: 5000,
    });
  });

  it('names the cues that say outright that a part is not so', () => {
    expect(cuesAgainst('engine', 'off')).toEqual(['engine-started', 'fast-idle-set', 'not-engine-off']);
    expect(cuesAgainst('chocks', 'set')).toEqual(['chocks-stowed', 'not-chocks-set']);
    expect(cuesAgainst('ground', 'level')).toEqual([]);
    expect(cuesAgainst('brake pedal', 'applied')).toEqual(['brakes-released', 'pedal-released', 'not-brake-applied']);
  });

  it('names those that, called again, say that a foot did not stay where it was', () => {
    expect(cuesRenewing('brake pedal', 'applied')).toEqual(['brake-applied']);
    expect(cuesRenewing('brake pedal', 'free')).toEqual(['pedal-released']);
    expect(cuesRenewing('engine', 'off')).toEqual([]);
    expect(isRenewed('pedal-released', after('brakes-released'))).toBe(true);
    expect(isRenewed('pedal-released', after('brake-applied'))).toBe(false);
    expect(isRenewed('engine-off', after('engine-off'))).toBe(false);
  });
});

describe('cues of a step that have to be called again', () => {
  it('those that are no longer true, or that nobody knows any more', () => {
    const cues = ['engine-off', 'brakes-released', 'settled'];
    const cab = after(...cues);
    expect(outdated(cues, cab)).toEqual([]);
    expect(outdated(cues, movedBy(cab, ['brake-applied'], heard('x')))).toEqual(['brakes-released', 'settled']);
    expect(outdated(cues, movedBy(cab, ['cut-out'], heard('x')))).toEqual(['engine-off']);
    expect(outdated([...cues, 'mirrors-set'], grownStale(cab))).toEqual(cues);
    expect(grownStale(cab).engine).toEqual({ is: 'off', at: 1000, heard: 'said', stale: true });
  });
});

describe('cues that say that something went wrong', () => {
  it('are these five of the full cab check, and no other', () => {
    const all = FULL.steps.flatMap(({ cues, outcomes = [], cuesAfter = [] }) => [...cues, ...outcomes, ...cuesAfter]);
    const adverse = [...new Set(all)].filter(isAdverse).sort();
    expect(adverse).toEqual(['no-warning', 'pulled-left', 'pulled-right', 'rig-moved', 'valve-stayed-in']);
    expect(isAdverse(undefined)).toBe(false);
  });
});

describe('a moment that can only come while the brakes are fanned', () => {
  it.each(['cut-in', 'buzzer', 'no-warning', 'valve-popped', 'valve-stayed-in'])(
    '%s: a pedal that was held is so no more, and one that nobody spoke of is no better known',
    (cue) => {
      const called = { at: 1000, heard: cue };
      const held = movedBy({}, ['brake-applied'], { at: 0, heard: 'brake applied' });
      expect(movedBy(held, [cue], called)['brake pedal']).toEqual({ is: UNCLEAR, ...called });
      expect(movedBy({}, [cue], called)['brake pedal']).toBeUndefined();
    },
  );
});
