import { describe, expect, it } from 'vitest';
import { randomFrom } from '../../../src/airsystem/scenario.ts';
import { dueNow } from '../../../src/check/due.ts';
import type { Meaning } from '../../../src/grammar/meaning.ts';
import { needles, only, startOf, TENDER_34, Walk, type Said } from './support/say.ts';

/**
 * A tug is tried in drive, against the parking brake alone: with the chocks stowed (CDL model manual, section 5, parking brake check). That
 * what was seen before does not count is common practice, no source.
 */
const ROLLING = only('tug-test', 'hand-valve-test', 'service-brake-test');
const TUG = ['chocks-stowed', 'belts-on', 'in-drive', 'rig-held'] as const;

const tug = (more: Parameters<typeof startOf>[0] = {}, ...known: readonly string[]): Walk =>
  new Walk(startOf({ plan: ROLLING, rig: TENDER_34, ...more })).knowing(
    'engine-started',
    'parking-brake-set',
    ...known,
  );
const handValve = (): Walk => tug().sayAll(...TUG);
const corrected = (...cues: readonly string[]): Meaning => ({ cues, command: 'correction' });

describe('what went well before something that it rests on', () => {
  it.for<readonly [string, Walk, readonly Said[]]>([
    ['“in drive”', tug(), ['chocks-stowed', 'belts-on', 'rig-held', 'in-drive']],
    ['“chocks stowed”', tug(), ['belts-on', 'in-drive', 'rig-held', 'chocks-stowed']],
    [
      '“chocks stowed”, and they were set',
      tug({}, 'chocks-set'),
      ['belts-on', 'in-drive', 'rig-held', 'chocks-stowed'],
    ],
    ['in the same breath', tug(), ['chocks-stowed', 'belts-on', 'rig-held in-drive']],
    ['in one breath with all of it', tug(), ['rig-held in-drive belts-on chocks-stowed']],
    [
      'which was taken back since',
      tug(),
      ['chocks-stowed', 'in-drive', 'rig-held', 'in-drive', 'no', 'in-drive', 'belts-on'],
    ],
    [
      'which was undone since',
      tug(),
      ['chocks-stowed', 'in-drive', 'rig-held', 'engine-started', 'in-drive', 'belts-on'],
    ],
    ['as a correction', tug(), ['chocks-stowed', 'belts-on', corrected('rig-held'), 'in-drive']],
    ['after it had moved', tug(), ['chocks-stowed', 'belts-on', 'rig-moved', 'correction', 'rig-held', 'in-drive']],
    [
      'gone back to',
      tug(),
      ['chocks-stowed', 'belts-on', 'go-back', 'rig-held', 'chocks-stowed', 'belts-on', 'in-drive'],
    ],
  ])('does not count: %s', ([, walk, said]) => {
    walk.sayAll(...said);
    expect(walk.verdict('tug-test')).toBeUndefined();
    expect(walk.all).toContainEqual(expect.objectContaining({ type: 'repeat', because: 'outcome-early' }));
    expect(walk.say('rig-held').verdict('tug-test')).toBe('pass');
  });

  it('does not count either for words that were begun before a cue was pressed', () => {
    const walk = tug().sayAll('chocks-stowed', 'belts-on').say('in-drive', { at: 20, lasting: 0, source: 'touch' });
    expect(walk.say('rig-held', { at: 19.3 }).verdict('tug-test')).toBeUndefined();
    expect(walk.say('rig-held').verdict('tug-test')).toBe('pass');
  });

  it('does not count in one breath while needles of the step before are asked about', () => {
    const plan = only('governor-cut-out', 'tug-test');
    const walk = new Walk(startOf({ plan })).knowing('engine-started', 'parking-brake-set').say('cut-out');
    walk.say(needles(120, 119)).say(needles(60, 119));
    walk.sayAll('chocks-stowed', 'belts-on', 'rig-held in-drive', 'yes');
    expect(walk.verdict('tug-test')).toBeUndefined();
    expect(walk.say('rig-held').verdict('tug-test')).toBe('pass');
  });

  it('is told at once with what lacks, and asked for as long as it is due', () => {
    const walk = tug().sayAll('chocks-stowed', 'belts-on', 'rig-held');
    expect(walk.last).toMatchObject([{ type: 'still-needed', cues: ['in-drive', 'rig-held', 'rig-moved'] }]);
    expect(dueNow(walk.state)).toMatchObject({ cues: ['in-drive'] });
    expect(walk.say('in-drive').last[0]).toMatchObject({ type: 'repeat', because: 'outcome-early' });
    expect(dueNow(walk.state)).toMatchObject({ cues: ['rig-held', 'rig-moved'] });
  });

  it('counts before what it does not rest on', () => {
    const walk = tug().sayAll('chocks-stowed', 'in-drive', 'rig-held', 'belts-on');
    expect(walk.verdict('tug-test')).toBe('pass');
  });

  it('never passes in any order of what may be said', () => {
    const words = [...TUG, ...TUG, 'chocks-set', 'not-in-drive', 'engine-started', 'correction', 'no', 'go-back'];
    const [passes, early]: [string[][], string[][]] = [[], []];
    for (let seed = 1; seed <= 1_500; seed += 1) {
      const random = randomFrom(seed);
      const walk = tug();
      const said: string[] = [];
      while (said.length < 14 && walk.verdict('tug-test') === undefined) {
        const word = words[Math.floor(random() * words.length)] ?? '';
        said.push(word);
        walk.say(word);
      }
      if (walk.verdict('tug-test') !== 'pass') continue;
      passes.push(said);
      const held = said.lastIndexOf('rig-held');
      if (['chocks-stowed', 'in-drive'].some((cue) => said.lastIndexOf(cue) > held)) early.push(said);
    }
    expect(early).toEqual([]);
    expect(passes.length).toBeGreaterThan(50);
  });
});

describe('a step that is not judged', () => {
  it('passes on nothing that is put right afterwards', () => {
    const unset = new Walk(startOf({ plan: ROLLING })).knowing('engine-started', 'brakes-released');
    unset.sayAll('chocks-stowed', 'in-drive', 'rig-held', 'belts-on', 'no', 'parking-brake-set', 'belts-on');
    expect(unset.verdict('tug-test')).toBe('not judged');
    const still = new Walk(startOf({ plan: only('final-fill', 'tug-test') })).knowing('engine-off');
    still.sayAll('cut-out', needles(124, 123), 'fast-idle-off', 'no', 'engine-started', 'fast-idle-off');
    expect(still.verdict('final-fill')).toBe('not judged');
  });
});

describe('a hand valve test that was called too soon', () => {
  it('has begun: that the rig moved is its own', () => {
    const walk = handValve().sayAll('hand-valve-held', 'rig-moved', 'brakes-released');
    expect([walk.verdict('tug-test'), walk.verdict('hand-valve-test')]).toEqual(['pass', 'fail']);
  });

  it('is what "correction" and "go back" are about', () => {
    for (const word of ['correction', 'go-back']) {
      const walk = handValve().sayAll('hand-valve-held', word, 'brakes-released', 'hand-valve-held');
      expect([walk.verdict('tug-test'), walk.verdict('hand-valve-test')]).toEqual(['pass', 'pass']);
    }
  });

  it('keeps nothing from the next step, in a recording and in an examination', () => {
    for (const settings of [{}, { examination: true }] as const) {
      const walk = tug({ asking: 'assume', settings });
      walk.sayAll(...TUG, 'hand-valve-held', 'pulled-left', 'check-complete');
      expect(walk.verdict('service-brake-test')).toBe('fail');
      expect(walk.state.records[1]?.result.reason).toBe('not finished: “brakes released” not called');
    }
  });
});

describe('what went wrong in a step that was never finished', () => {
  it('fails it when the check is stopped, begun or not', () => {
    const begun = tug().sayAll('chocks-stowed', 'rig-moved', 'stop-check', 'yes');
    expect([begun.verdict('tug-test'), begun.state.verdict]).toEqual(['fail', 'fail']);
    const ahead = handValve().sayAll('pulled-left', 'stop-check', 'yes');
    expect([ahead.verdict('service-brake-test'), ahead.state.verdict]).toEqual(['fail', 'fail']);
  });
});
