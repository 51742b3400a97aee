import { describe, expect, it } from 'vitest';
import { compile } from '../../../src/grammar/compile.ts';
import { parse } from '../../../src/grammar/parse.ts';
import {
  ENGINE_31,
  fullCabCheckScript,
  LADDER_36,
  TENDER_34,
} from '../../../src/rehearsal/synthetic-operator-script.ts';
import { loadGrammar } from '../../support/grammar.ts';
import { needles, only, startOf, TENDER_34 as TENDER, Walk } from './support/say.ts';

const grammar = loadGrammar();
const PACE = { holdSeconds: 60, afterHold: 1_000 };

const filling = (asking: 'ask' | 'assume' = 'ask'): Walk =>
  new Walk(startOf({ plan: only('pre-start-fill', 'governor-cut-out', 'governor-cut-in'), asking }));
const holding = (): Walk =>
  new Walk(startOf({ plan: only('static-leakage', 'applied-leakage') })).sayAll('engine-off', 'brakes-released');
const applying = (): Walk => new Walk(startOf({ plan: only('applied-leakage') })).sayAll('brake-applied');

/** The whole script as words, each parsed under the rules that the check listens for when it is said. */
function spoken(scenario: typeof ENGINE_31, start = startOf()): { walk: Walk; unheard: string[] } {
  const walk = new Walk(start);
  const unheard: string[] = [];
  for (const line of fullCabCheckScript(scenario, PACE)) {
    compile(grammar, walk.rules, 'psi');
    const meaning = parse(grammar, walk.rules, line.text, 'psi');
    if (meaning === undefined) unheard.push(`${line.step}: ${line.text} (${walk.rules.join(' ')})`);
    if (line.mark?.endsWith('after') === true) walk.waitTo(walk.time + 61);
    const upper = line.mark === 'build-up upper';
    walk.say(meaning ?? '', { heard: line.text, ...(upper ? { at: walk.time + scenario.buildUpSeconds } : {}) });
  }
  return { walk, unheard };
}

describe('what each step listens for', () => {
  it.each([
    ['a rig in order', ENGINE_31, startOf(), 'pass'],
    ['a rig with a hand valve and a slow compressor', TENDER_34, startOf({ rig: TENDER }), 'pass'],
    ['a leaking rig, with a slip and its correction', LADDER_36, startOf(), 'fail'],
    ['the same from a recording', LADDER_36, startOf({ asking: 'assume' }), 'fail'],
  ] as const)('is enough for the whole script of %s', (_, scenario, start, verdict) => {
    const { walk, unheard } = spoken(scenario, start);
    expect(unheard).toEqual([]);
    expect(walk.state.phase).toBe('done');
    expect(walk.state.verdict).toBe(verdict);
  });

  it('has the needles after a bare correction, also when a cue came after them', () => {
    const walk = new Walk(startOf({ plan: only('final-fill', 'tug-test') })).sayAll(
      'engine-started',
      'cut-out',
      needles(125, 112),
      'fast-idle-off',
      'correction',
    );
    const meaning = parse(grammar, walk.rules, 'primary one two five secondary one two four', 'psi');
    expect(meaning?.reading).toEqual(needles(125, 124));
    expect(walk.say(meaning ?? '').state.progress.readings).toMatchObject([needles(125, 124)]);
    expect(walk.say('fast-idle-off').step).toBe('tug-test');
  });

  it('hears what speaks against anything known of the cab, which later steps rest on', () => {
    const walk = new Walk(startOf({ plan: only('final-fill', 'tug-test') }))
      .knowing('engine-started', 'parking-brake-set')
      .say('cut-out');
    expect(walk.rules).toEqual(expect.arrayContaining(['brakes-released', 'engine-off']));
    expect(walk.rules).not.toContain('parking-brake-set');
  });

  it.each<[string, Walk, readonly string[], readonly string[]]>([
    [
      'a step',
      new Walk(startOf({ plan: only('tug-test') })),
      ['observe', 'denied-in-drive', 'rig-moved'],
      ['repaired'],
    ],
    ['after needles', filling().say(needles(75, 74)), ['repaired', 'reading'], []],
    ['after needles that were not taken', filling().say(needles(75, 174)).say('no'), ['reading'], ['repaired']],
    ['a question', filling().say(needles(75, 174)), ['repaired', 'reading', 'engine-started'], []],
    ['a pause', filling().say('pause'), ['confirm', 'engine-off', 'rig-moved'], ['reading', 'items']],
    ['a note', filling().say('note'), ['anything'], ['reading']],
    ['a skip', filling().say('skip'), ['reasons', 'reading', 'engine-started', 'denied-engine-started'], ['items']],
    ['its end', filling().sayAll('stop-check', 'yes'), [], ['anything', 'confirm', 'commands']],
    ['the end of a recording', filling('assume').sayAll('stop-check', 'yes'), ['anything', 'denied'], ['items']],
    ['a recording', filling('assume'), ['engine-off', 'rig-moved'], ['items']],
    ['the step before the next', filling(), ['cut-out'], ['cut-in', 'rig-moved']],
    ['a hold', holding(), ['engine-started', 'brake-applied', 'chocks-stowed'], ['rig-moved', 'mirrors-set']],
    ['an applied hold', applying(), ['brake-applied', 'pedal-released'], []],
  ])('has the rules of %s', (_, { rules }, there, missing) => {
    expect(rules).toEqual(expect.arrayContaining([...there]));
    expect(rules.filter((rule) => missing.includes(rule))).toEqual([]);
    if (there.length === 0) expect(rules).toEqual([]);
  });

  it('has the commands in every phase that can hear them', () => {
    const walk = new Walk();
    const understands = (text: string): boolean => parse(grammar, walk.rules, text, 'psi') !== undefined;
    expect(understands('stop the check')).toBe(true);
    walk.say('skip');
    expect(['not fitted', 'no', 'stop the check'].map(understands)).toEqual([true, true, true]);
    walk.say('no').say('stop-check');
    expect(['yes', 'no', 'mirrors set'].map(understands)).toEqual([true, true, true]);
    walk.say('no').say('pause');
    expect(['resume', 'mirrors set'].map(understands)).toEqual([true, false]);
  });

  it('listens for what may have gone wrong in a step that was judged, and for what would correct it', () => {
    const tug = (): Walk =>
      new Walk(startOf({ plan: only('tug-test', 'service-brake-test') })).sayAll(
        'chocks-stowed',
        'belts-on',
        'in-drive',
      );
    const held = tug().say('rig-held').rules;
    expect(held).toContain('rig-moved');
    expect(held).not.toContain('rig-held');
    expect(tug().say('rig-moved').rules).toEqual(expect.arrayContaining(['rig-moved', 'rig-held']));
    const skipped = tug().say({ cues: [], command: 'skip', reason: 'no-room' }).rules;
    expect(skipped).not.toContain('rig-moved');
    expect(new Set(skipped).size).toBe(skipped.length);
  });
});
