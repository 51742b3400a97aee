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
      let [held, rested] = [-1, -1];
      while (said.length < 14 && walk.verdict('tug-test') === undefined) {
        const word = words[Math.floor(random() * words.length)] ?? '';
        const isOwed = ['chocks-stowed', 'in-drive'].includes(word) && !walk.state.progress.cues.includes(word);
        if (word === 'rig-held') held = said.length;
        if (isOwed) rested = said.length;
        said.push(word);
        walk.say(word);
      }
      if (walk.verdict('tug-test') !== 'pass') continue;
      passes.push(said);
      if (held < rested) early.push(said);
    }
    expect(early).toEqual([]);
    expect(passes.length).toBeGreaterThan(50);
  });

  it('counts where what it rests on is merely said again', () => {
    for (const after of ['in-drive', 'belts-on in-drive'])
      expect(tug().sayAll('chocks-stowed', 'in-drive', 'rig-held', after, 'belts-on').verdict('tug-test')).toBe('pass');
  });

  it('is called anew in the breath that says what lacked', () => {
    for (const breath of ['in-drive rig-held', 'rig-held in-drive rig-held']) {
      const walk = tug().sayAll('chocks-stowed', 'belts-on', 'rig-held', breath);
      expect(walk.state.records[0]?.result).toMatchObject({ verdict: 'pass' });
      expect(walk.state.records[0]?.result.flags).toBeUndefined();
      const recorded = tug({ asking: 'assume' }).sayAll('chocks-stowed', 'belts-on', 'rig-held', breath);
      expect(recorded.verdict('tug-test')).toBe('pass');
    }
  });

  it('takes nothing along that speaks against the step when it is dropped', () => {
    const with40 = tug().sayAll('chocks-stowed', 'belts-on', needles(40, 40), 'rig-held', 'in-drive', 'rig-held');
    expect(with40.verdict('tug-test')).toBe('marginal');
    const moved = tug().sayAll('chocks-stowed', 'belts-on', 'rig-moved', corrected('rig-held'), 'in-drive', 'rig-held');
    expect(moved.state.records[0]?.result.flags?.join()).toMatch('rig moved');
    const neutral = tug().sayAll(
      'chocks-stowed',
      'in-drive',
      'rig-held',
      'not-in-drive',
      'in-drive',
      'rig-held',
      'belts-on',
    );
    expect(neutral.verdict('tug-test')).toBe('marginal');
  });

  it('leaves what is seen after it to be judged, and forgets that it was dropped', () => {
    const walk = tug().sayAll('chocks-stowed', 'rig-held', 'in-drive', 'rig-moved', 'brakes-released', 'belts-on');
    expect(walk.verdict('tug-test')).toBe('fail');
    expect(
      tug().sayAll('chocks-stowed', 'rig-held', 'in-drive', 'rig-held').state.progress.repeatBecause,
    ).toBeUndefined();
  });
});

describe('what is said of the cab in the same breath, after what was seen', () => {
  const spoken = (cues: string, before: number): Meaning => ({
    cues: cues.split(' '),
    reading: needles(124, 123),
    before,
  });

  it('comes after it with needles too', () => {
    for (const breath of [
      spoken('rig-held in-drive', 2),
      spoken('rig-held in-drive', 1),
      spoken('rig-held in-drive', 0),
    ])
      expect(tug().sayAll('chocks-stowed', 'belts-on', breath).verdict('tug-test')).toBeUndefined();
  });

  it('makes nothing known that had to be before', () => {
    const unset = new Walk(startOf({ plan: ROLLING })).knowing('engine-started');
    unset.sayAll('chocks-stowed', 'belts-on', 'in-drive', 'rig-held parking-brake-set');
    expect(unset.verdict('tug-test')).toBe('not judged');
    const off = new Walk(startOf({ plan: only('service-brake-test') }));
    expect(off.sayAll('straight-stop engine-started', 'check-complete').verdict('service-brake-test')).toBe(
      'not judged',
    );
    const fill = new Walk(startOf({ plan: only('governor-cut-out', 'tug-test') }));
    expect(fill.sayAll('cut-out engine-started', needles(120, 119)).verdict('governor-cut-out')).toBe('not judged');
    const all = new Walk(startOf({ plan: only('governor-cut-out', 'tug-test') }));
    expect(all.say(spoken('cut-out engine-started', 2)).verdict('governor-cut-out')).toBe('not judged');
  });

  it('is heeded in a correction as well', () => {
    const set = tug().sayAll('chocks-stowed', 'in-drive', 'rig-held', corrected('chocks-set', 'rig-held'), 'belts-on');
    expect(set.verdict('tug-test')).not.toBe('pass');
    const neutral = tug().sayAll(
      'chocks-stowed',
      'in-drive',
      'rig-held',
      corrected('rig-held', 'not-in-drive'),
      'belts-on',
    );
    expect(neutral.verdict('tug-test')).not.toBe('pass');
    const released = tug().sayAll(...TUG.slice(0, 3), 'rig-held', corrected('rig-held', 'brakes-released'));
    expect(released.state.cab['parking brake']?.is).toBe('released');
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
  it('fails it when the check is stopped, the step skipped or left', () => {
    const stopped = tug().sayAll('chocks-stowed', 'rig-moved', 'stop-check', 'yes');
    expect([stopped.verdict('tug-test'), stopped.state.verdict]).toEqual(['fail', 'fail']);
    const recorded = tug({ asking: 'assume' }).sayAll('chocks-stowed', 'in-drive', 'rig-moved', 'brakes-released');
    expect(recorded.verdict('tug-test')).toBe('fail');
    const skipped = tug().sayAll('chocks-stowed', 'rig-moved', 'skip', { cues: [], reason: 'no-room' });
    expect(skipped.verdict('tug-test')).toBe('fail');
  });

  it('fails no step that was never begun, and is told of', () => {
    const walk = handValve().sayAll('pulled-left', 'stop-check', 'yes');
    expect([walk.verdict('service-brake-test'), walk.state.verdict]).toEqual(['not judged', 'incomplete']);
    expect(walk.state.records.at(-1)?.result.flags).toEqual(['“pulled left” was called']);
    const none = new Walk(startOf({ plan: only('governor-cut-out', 'tug-test', 'hand-valve-test') }));
    none.sayAll('rig-moved', 'stop-check', 'yes');
    expect(none.state.records.map(({ id, result }) => [id, result.verdict, result.flags?.length])).toEqual([
      ['governor-cut-out', 'not judged', undefined],
      ['tug-test', 'not judged', 1],
      ['hand-valve-test', 'not judged', undefined],
    ]);
  });

  it('is told of after going back, though it was corrected', () => {
    const walk = tug().sayAll('chocks-stowed', 'in-drive', 'rig-moved', corrected('rig-held'), 'go-back', ...TUG);
    expect(walk.state.records[0]?.result.flags?.join()).toMatch('rig moved');
  });
});

describe('a correction with more in its breath', () => {
  it('keeps what went wrong in it, wherever it is said', () => {
    for (const cues of [
      ['rig-held', 'rig-moved'],
      ['rig-moved', 'rig-held'],
    ])
      expect(
        tug()
          .sayAll(...TUG.slice(0, 3), corrected(...cues))
          .verdict('tug-test'),
      ).toBe('fail');
  });

  it('judges a step behind it on what it says of the cab first', () => {
    for (const cue of ['brakes-released', 'chocks-set', 'engine-off'])
      expect(handValve().say(corrected(cue, 'rig-held')).verdict('tug-test')).toBe('not judged');
  });

  it('hears no outcome of the next step as one of the cab', () => {
    const plan = only('low-air-warning', 'spring-brake-activation');
    const walk = new Walk(startOf({ plan }))
      .knowing('engine-off', 'brakes-released')
      .say('buzzer')
      .say(needles(65, 64));
    walk.say(corrected('buzzer', 'valve-popped'));
    expect(walk.state.cab['parking brake']?.is).toBe('released');
  });
});

describe('a step that is skipped', () => {
  const warned = (): Walk => new Walk(startOf({ plan: only('low-air-warning', 'tug-test') })).knowing('engine-off');

  it('is gone back to with what went wrong in it', () => {
    const skipped = warned().sayAll('no-warning', 'skip', { cues: [], reason: 'no-room' });
    expect(skipped.state.records[0]?.result.flags).toEqual(['“no warning” was called']);
    skipped.sayAll('go-back', 'buzzer').say(needles(65, 64));
    expect(skipped.verdict('low-air-warning')).not.toBe('pass');
  });

  it('does not take the needles along that are asked about', () => {
    const asked = warned().say('buzzer').say(needles(40, 41));
    expect(asked.last).toMatchObject([{ type: 'question' }]);
    asked.sayAll('skip', { cues: [], reason: 'no-room' }, 'go-back', 'buzzer').say(needles(65, 64));
    expect(asked.verdict('low-air-warning')).toBe('marginal');
  });

  it('is gone back to with what was corrected in it', () => {
    const walk = tug().sayAll('chocks-stowed', 'rig-moved', corrected('rig-held'), 'skip');
    walk.sayAll({ cues: [], reason: 'no-room' }, 'go-back', ...TUG);
    expect(walk.state.records[0]?.result.flags?.join()).toMatch('rig moved');
  });
});
