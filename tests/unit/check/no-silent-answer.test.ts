import { describe, expect, it } from 'vitest';
import type { Command, Meaning, SpokenReading } from '../../../src/grammar/meaning.ts';
import { needles, only, primary, secondary, startOf, Walk } from './support/say.ts';

/** Heard so that it is asked about, and so that it is not. */
const UNSURE = { confidence: 0.8, engine: 'vosk' } as const;
const SURE = { confidence: 0.9, engine: 'vosk' } as const;

const anew = (command: Command, reading: SpokenReading): Meaning => ({ cues: [], command, reading });
const begun = (): Walk =>
  new Walk(startOf({ plan: only('static-leakage', 'applied-leakage') })).sayAll(
    'engine-off',
    'brakes-released',
    'settled',
  );
const closing = (): Walk =>
  begun()
    .say(needles(118, 117), { ...SURE, at: 10 })
    .waitTo(71);
const building = (): Walk =>
  new Walk(startOf({ plan: only('build-up', 'tug-test') }))
    .sayAll('engine-started', 'fast-idle-set')
    .say(needles(85, 85), { ...SURE, at: 10 });
const warned = (): Walk =>
  new Walk(startOf({ plan: only('low-air-warning', 'tug-test') })).knowing('engine-off').say('buzzer', { at: 10 });
const cutOut = (): Walk =>
  new Walk(startOf({ plan: only('governor-cut-out', 'governor-cut-in') })).knowing('engine-started').say('cut-out');

describe('needles that nobody has answered for', () => {
  it('pass nothing, however long others are in coming, which are weighed', () => {
    const walk = closing()
      .say(needles(118, 117), { ...UNSURE, at: 72 })
      .say(needles(108, 107), { ...SURE, at: 88.5 });
    expect(walk.last).toMatchObject([{ type: 'question', because: 'would-fail' }]);
    expect(walk.say('yes').verdict('static-leakage')).toBe('fail');
  });

  it('are not confirmed by one of the two', () => {
    const walk = closing()
      .say(needles(118, 117), { ...UNSURE, at: 72 })
      .say(primary(118), { ...SURE, at: 77 });
    expect(walk.last).toMatchObject([{ type: 'question', reading: needles(118, 117) }]);
    walk.say(secondary(107), { ...SURE, at: 79.5 });
    expect(walk.last).toMatchObject([{ type: 'question', reading: needles(118, 107) }]);
  });

  it('are not confirmed by needles of the next step', () => {
    for (const asked of [
      cutOut().say(needles(125, 124), UNSURE).say('cut-in').say(needles(98, 97), SURE),
      cutOut()
        .say(needles(125, 124), UNSURE)
        .say({ cues: ['cut-in'], reading: needles(98, 97) }, SURE),
    ]) {
      expect(asked.last).toMatchObject([{ type: 'question', reading: needles(125, 124) }]);
      expect(asked.verdict('governor-cut-out')).toBeUndefined();
    }
  });

  it('are not confirmed by a yes that was begun before the question could sound', () => {
    const asked = (after: number): Walk =>
      closing()
        .say(needles(118, 117), { ...UNSURE, at: 72, lasting: 2 })
        .say('yes', { at: 74 + after, lasting: 0.3 });
    expect(asked(0.29).last).toMatchObject([{ type: 'question' }]);
    expect(asked(0.3).verdict('static-leakage')).toBe('pass');
  });

  it('are asked about as one circuit too, when they were corrected', () => {
    const filling = new Walk(startOf({ plan: only('pre-start-fill') })).say(primary(115), { ...SURE, at: 10 });
    filling.say(anew('no', primary(75)), { ...UNSURE, at: 13 });
    expect(filling.last).toMatchObject([{ type: 'question', reading: primary(75) }]);
  });

  it('are asked about where they are far apart, in however many callouts', () => {
    for (const apart of [
      cutOut().say(needles(125, 113), SURE),
      cutOut().say(primary(125), SURE).say(secondary(113), SURE),
      cutOut()
        .say(needles(125, 124), SURE)
        .say(anew('correction', secondary(113)), SURE),
      cutOut().say(needles(125, 124), UNSURE).say(secondary(113), SURE),
    ])
      expect(apart.last).toMatchObject([{ type: 'question', reading: needles(125, 113) }]);
  });
});

describe('the moment of needles in the place of others', () => {
  it.each([
    ['asked about, whole', (walk: Walk) => walk.say(needles(118, 117), { ...UNSURE, at: 10 }), needles(116, 115)],
    ['one of the two', (walk: Walk) => walk.say(primary(118), { ...SURE, at: 10 }), needles(116, 115)],
    ['the other of the two', (walk: Walk) => walk.say(primary(116), { ...SURE, at: 10 }), secondary(115)],
  ])('begins a hold no earlier than they were read: %s', (_, opened, spoken) => {
    for (const command of ['no', 'correction'] as const) {
      const walk = opened(begun()).say(anew(command, spoken), { ...SURE, at: 60 });
      expect(walk.state.progress.readings).toMatchObject([{ ...needles(116, 115), start: 60_000 }]);
      expect(walk.say(needles(116, 115), { ...SURE, at: 71.5 }).verdict('static-leakage')).toBeUndefined();
    }
  });

  it('is that of the words asked about for an answer right after them', () => {
    const walk = begun().say(needles(118, 117), { ...UNSURE, at: 10 });
    walk.say(anew('no', needles(116, 115)), { ...SURE, at: 15 });
    expect(walk.state.progress.readings).toMatchObject([{ ...needles(116, 115), start: 10_000 }]);
  });

  it.each([
    ['denied, and called anew', (walk: Walk) => walk.say('no', { at: 52 }).say(needles(100, 100), { ...SURE, at: 78 })],
    ['in one breath', (walk: Walk) => walk.say(anew('no', needles(100, 100)), { ...SURE, at: 78 })],
  ])('ends a window no earlier than they were read: %s', (_, said) => {
    const walk = said(building().say(needles(110, 110), { ...UNSURE, at: 49 }));
    expect(walk.last).toMatchObject([{ type: 'question', because: 'would-fail' }]);
    expect(walk.say('yes').verdict('build-up')).toBe('fail');
  });

  it('ends a window when the same needles are called again instead of a yes', () => {
    const walk = building()
      .say(needles(100, 100), { ...UNSURE, at: 49 })
      .say(needles(100, 100), { ...SURE, at: 78 });
    expect(walk.last).toMatchObject([{ type: 'question', because: 'would-fail' }]);
  });

  it.each([
    ['asked about', (walk: Walk) => walk.say(needles(60, 60), { ...UNSURE, at: 12 })],
    ['one of the two', (walk: Walk) => walk.say(primary(60), { ...SURE, at: 12 })],
  ])('is too late for a warning long before: %s', (_, called) => {
    const walk = called(warned()).say(anew('no', needles(70, 70)), { ...SURE, at: 130 });
    expect(walk.last).toMatchObject([{ type: 'repeat', because: 'needles-late' }, { type: 'still-needed' }]);
  });
});

describe('needles that were taken back by a bare “correction”', () => {
  const cut = (psi: number): Walk => cutOut().say(needles(psi, psi - 1), SURE);

  it('leave their step marginal until others are called', () => {
    const walk = cut(125).say('correction');
    expect(walk.state.records[0]?.result).toMatchObject({
      verdict: 'marginal',
      flags: ['“correction” was called, and no other needles'],
    });
    expect(walk.say(needles(124, 123), SURE).state.records[0]?.result).toMatchObject({ verdict: 'pass' });
    expect(walk.state.records[0]?.result.flags ?? []).toEqual([]);
  });

  it('are not replaced by those of the next step', () => {
    for (const walk of [
      cut(125).say('correction').say('cut-in').say(needles(98, 97), SURE),
      cut(125)
        .say('no')
        .say({ cues: ['cut-in'], reading: needles(98, 97) }, SURE),
    ]) {
      expect(walk.state.records[0]?.progress.readings).toMatchObject([needles(125, 124)]);
      expect(walk.verdict('governor-cut-out')).toBe('marginal');
      expect(walk.verdict('governor-cut-in')).toBe('pass');
    }
  });

  it('do not turn a fail into a pass', () => {
    const walk = cut(145).say('yes').say('correction').say('cut-in').say(needles(98, 97), SURE);
    expect(walk.verdict('governor-cut-out')).toBe('fail');
  });

  it('leave the step under way marginal too, and a window without its beginning', () => {
    const filled = new Walk(startOf({ plan: only('pre-start-fill', 'governor-cut-out') })).say(needles(75, 75), SURE);
    expect(filled.sayAll('correction', 'engine-started').verdict('pre-start-fill')).toBe('marginal');
    const built = building()
      .say('correction', { at: 12 })
      .say(needles(100, 100), { ...SURE, at: 50 });
    expect(built.verdict('build-up')).toBe('marginal');
  });

  it('end a window that was judged no earlier than they were read anew', () => {
    const walk = building()
      .say(needles(100, 100), { ...SURE, at: 49 })
      .say('correction', { at: 51 });
    expect(walk.say(needles(100, 100), { ...SURE, at: 78 }).last).toMatchObject([
      { type: 'question', because: 'would-fail' },
    ]);
  });

  it('are gone, one circuit alone: the other is no reading with it', () => {
    for (const word of ['correction', 'no']) {
      const walk = cutOut().say(primary(125), SURE).say(word).say(secondary(124), SURE);
      expect(walk.state.progress.half?.reading).toMatchObject(secondary(124));
      expect(walk.state.progress.half?.reading.primary).toBeUndefined();
    }
    const next = cut(125).say('cut-in').say(primary(98), SURE).say('correction').say(needles(97, 96), SURE);
    expect([next.verdict('governor-cut-out'), next.verdict('governor-cut-in')]).toEqual(['pass', 'pass']);
  });

  it('are asked about where only one circuit is called in their place', () => {
    const walk = cut(125).say('correction').say(primary(124), SURE);
    expect(walk.last).toMatchObject([{ type: 'question', reading: needles(124, 124) }]);
  });

  it('and whose other values were denied leave their step marginal', () => {
    const walk = cut(125)
      .say(anew('correction', needles(128, 127)), UNSURE)
      .say('no');
    expect(walk.verdict('governor-cut-out')).toBe('marginal');
    walk.say('cut-in').say(needles(98, 97), SURE);
    expect(walk.verdict('governor-cut-out')).toBe('marginal');
  });

  it('may be called by a “correction” for as long as one reaches back', () => {
    const walk = cut(125)
      .say('correction')
      .say(needles(124, 123), { ...SURE, at: 45 });
    expect(walk.verdict('governor-cut-out')).toBe('marginal');
    walk.say(anew('correction', needles(124, 123)), { ...SURE, at: 48 });
    expect(walk.verdict('governor-cut-out')).toBe('pass');
  });

  it('take no other doubt with them', () => {
    const walk = new Walk(startOf({ plan: only('low-air-warning', 'spring-brake-activation') })).knowing('engine-off');
    walk
      .say('buzzer', { at: 10 })
      .say(needles(70, 70), { ...SURE, at: 12 })
      .say(needles(56, 55), { ...SURE, at: 15 });
    expect(walk.verdict('low-air-warning')).toBe('marginal');
    expect(walk.say('correction').say(needles(70, 70), SURE).verdict('low-air-warning')).toBe('marginal');
  });

  it('within a hold are gone, and the next close it', () => {
    const walk = begun()
      .say(needles(118, 117), { ...SURE, at: 10 })
      .say(needles(117, 117), { ...SURE, at: 60 });
    walk
      .say('correction', { at: 62 })
      .waitTo(71)
      .say(needles(117, 116), { ...SURE, at: 72 });
    expect(walk.verdict('static-leakage')).toBe('pass');
    expect(walk.state.records[0]?.progress.within).toEqual([]);
  });

  it('may be meant by a “no” after the “yes” to their question', () => {
    const walk = cutOut().say(needles(125, 124), UNSURE).sayAll('yes', 'no');
    expect(walk.verdict('governor-cut-out')).toBe('marginal');
  });

  it('that others go by make the tool say what their step comes to', () => {
    const walk = cut(125).sayAll('correction', 'cut-in');
    expect(walk.types).toContain('verdict');
  });
});
