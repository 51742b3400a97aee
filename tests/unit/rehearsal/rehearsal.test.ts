import { describe, expect, it } from 'vitest';
import type { Controls } from '../../../src/airsystem/controls.ts';
import { HANDS_OFF } from '../../../src/airsystem/controls.ts';
import type { CalloutEvent } from '../../../src/check/event.ts';
import { replay } from '../../../src/check/machine.ts';
import { parse } from '../../../src/grammar/parse.ts';
import type { Meaning } from '../../../src/grammar/meaning.ts';
import { coach } from '../../../src/rehearsal/coach.ts';
import type { LevelId } from '../../../src/rehearsal/level.ts';
import type { Rehearsal, RehearsalTurn } from '../../../src/rehearsal/rehearsal.ts';
import { advanceRehearsal, beginRehearsal, callOut, endRehearsal } from '../../../src/rehearsal/rehearsal.ts';
import { samplesOf } from '../../../src/rehearsal/trace.ts';
import { loadGrammar } from '../../support/grammar.ts';
import { engine31, found, rehearse, scenario, setupOf } from './support/rehearse.ts';

const HEALTHY = scenario('engine-31-healthy');
const KEY: Controls = { ...HANDS_OFF, ignition: true };
const RUNNING: Controls = { ...KEY, engine: true };

const begin = (level: LevelId): RehearsalTurn => beginRehearsal(setupOf(HEALTHY, { level }));

/** Says something that ends now and took a second. */
function say(rehearsal: Rehearsal, said: string | Meaning): RehearsalTurn {
  const { at: end } = rehearsal.cab;
  const meaning = typeof said === 'string' ? { cues: said.split(' ') } : said;
  const callout: CalloutEvent = {
    type: 'callout',
    at: end - 1000,
    end,
    heard: 'words',
    confidence: 1,
    source: 'voice',
    meaning,
  };
  return callOut(rehearsal, callout);
}

/** Lets so many seconds pass, then says each thing, two seconds apart. */
function act(rehearsal: Rehearsal, seconds: number, controls: Controls, ...said: (string | Meaning)[]): Rehearsal {
  let now = advanceRehearsal(rehearsal, rehearsal.cab.at + seconds * 1000, controls).rehearsal;
  for (const each of said) {
    now = advanceRehearsal(now, now.cab.at + 2000, controls).rehearsal;
    now = say(now, each).rehearsal;
  }
  return now;
}

function needles(primary: number, secondary: number): Meaning {
  return {
    cues: [],
    reading: { primary: { value: primary, unit: 'psi' }, secondary: { value: secondary, unit: 'psi' } },
  };
}

const step = ({ check }: Rehearsal): string | undefined => check.start.plan.steps[check.index]?.id;

describe('a rehearsal', () => {
  it('is the same at any frame rate', () => {
    const to = 60_000;
    const run = (frame: number): Rehearsal => {
      let { rehearsal } = begin('silent');
      for (let at = frame; at < to; at += frame) rehearsal = advanceRehearsal(rehearsal, at, RUNNING).rehearsal;
      return advanceRehearsal(rehearsal, to, RUNNING).rehearsal;
    };
    const smooth = run(1000 / 60);
    const jerky = run(2500);
    expect(smooth.cab.trace).toEqual(jerky.cab.trace);
    const samples = samplesOf(smooth.cab.trace);
    expect(samples.map(({ at }) => at)).toEqual(Array.from({ length: 601 }, (_, index) => 100 * index));
    // Engine 31 fills from 75 psi; 600 samples later the needles stand higher.
    expect(samples.at(-1)!.primary).toBeGreaterThan(samples[0]!.primary + 10);
  });

  it('refuses to run backwards', () => {
    const { rehearsal } = advanceRehearsal(begin('silent').rehearsal, 1000, KEY);
    expect(() => advanceRehearsal(rehearsal, 900, KEY)).toThrow(RangeError);
  });

  it('judges with what the rig is, and knows nothing of its faults', () => {
    const { start } = beginRehearsal(setupOf(scenario('tender-34-slow'))).rehearsal.check;
    expect(start.rig).toMatchObject({
      id: 'tender-34',
      unit: 'psi',
      resolution: { primary: { value: 1, unit: 'psi' }, secondary: { value: 1, unit: 'psi' } },
      reservoirs: { supply: 18.1, primary: 27, secondary: 27 },
      fitted: { handValve: true, fastIdle: true, trailer: false },
    });
    // 12 times two type 24 and two type 30 chambers, 67 and 89 cubic inches: 3744 cubic inches, 61.4 l (49 CFR 571.121 S5.1.2.1).
    expect(start.rig.requiredReservoirs).toBeCloseTo(61.4, 1);
    expect(JSON.stringify(start)).not.toContain('worn');
  });

  it('has the low-air buzzer on with the key at 40 psi, and the valve popped at 38', () => {
    const low = beginRehearsal(setupOf({ ...HEALTHY, startPsi: { primary: 40, secondary: 40 } })).rehearsal;
    const { cab } = advanceRehearsal(low, 1000, KEY).rehearsal;
    expect(cab.happened.map(({ kind }) => kind)).toContain('buzzer-on');
  });
});

describe('what is spoken', () => {
  it.each([
    ['told', ['brief']],
    ['prompted', []],
    ['silent', []],
  ] as const)('at the level %s begins with %j', (level, types) => {
    expect(begin(level).answers.map(({ type }) => type)).toEqual(types);
  });

  it('prompts once, after a minute of silence, at the level prompted only', () => {
    for (const level of ['told', 'prompted', 'silent'] as const) {
      const heard: string[] = [];
      let { rehearsal } = begin(level);
      for (let at = 10_000; at <= 180_000; at += 10_000) {
        const turn = advanceRehearsal(rehearsal, at, HANDS_OFF);
        rehearsal = turn.rehearsal;
        heard.push(...turn.answers.map(({ type }) => `${type} ${at / 1000} s`));
      }
      expect(heard).toEqual(level === 'prompted' ? ['still-needed 60 s'] : []);
    }
  });

  it('is no acknowledgement at all from a silent examiner', () => {
    const rehearsal = act(begin('silent').rehearsal, 1, KEY);
    expect(say(rehearsal, 'chocks-set').answers).toEqual([]);
    const told = act(begin('told').rehearsal, 1, KEY);
    expect(say(told, 'chocks-set').answers).toMatchObject([{ type: 'noted', cue: 'chocks-set' }]);
  });
});

describe('a silent examiner', () => {
  const cues = ['chocks-set', 'walk-round-complete'];

  it('goes on with the trainee, who left out callouts', () => {
    const rehearsal = act(begin('silent').rehearsal, 1, KEY, ...cues, needles(75, 75));
    expect(step(rehearsal)).toBe('pre-start-fill');
    const report = coach(rehearsal);
    expect(report.findings.map(({ kind, what }) => `${kind}: ${what}`)).toEqual([
      'missing: “mirrors set” was not called.',
      'missing: “ignition on” was not called.',
    ]);
  });

  it('does not go on for words that have their place nowhere near', () => {
    const rehearsal = act(begin('silent').rehearsal, 1, KEY, ...cues, 'belts-on');
    expect(step(rehearsal)).toBe('approach');
    expect(found(coach(rehearsal))).toEqual(['out-of-order approach']);
  });

  it('waits at the other levels', () => {
    for (const level of ['told', 'prompted'] as const) {
      expect(step(act(begin(level).rehearsal, 1, KEY, ...cues, needles(75, 75)))).toBe('approach');
    }
  });
});

describe('the coach, while a rehearsal runs', () => {
  const opening = ['chocks-set', 'walk-round-complete', 'mirrors-set', 'ignition-on'];

  it('has nothing to say of steps that lie ahead', () => {
    const report = coach(act(begin('silent').rehearsal, 1, KEY, ...opening));
    expect(report.findings).toEqual([]);
    expect(report.steps[0]).toMatchObject({ step: 'approach', score: 100, verdict: 'pass' });
    expect(report.steps.slice(1).every(({ score }) => score === 0)).toBe(true);
  });

  it('finds the rest missing once it is ended', () => {
    const { rehearsal } = endRehearsal(act(begin('silent').rehearsal, 1, KEY, ...opening));
    const report = coach(rehearsal);
    expect(report.findings.map(({ kind }) => kind)).toEqual(Array(12).fill('missing'));
    // One of the 13 steps of a rig without a hand valve.
    expect(report.score).toBe(Math.floor(100 / 13));
  });

  it('sees needles called with the engine already running', () => {
    const rehearsal = act(
      act(begin('silent').rehearsal, 1, KEY, ...opening),
      1,
      RUNNING,
      needles(75, 75),
      'engine-started',
    );
    expect(found(coach(rehearsal))).toEqual(['out-of-order pre-start-fill']);
  });

  it('sees a key that was not turned, and an engine that was not started', () => {
    const off = act(begin('silent').rehearsal, 1, HANDS_OFF, ...opening, needles(75, 75), 'engine-started');
    expect(found(act2(off))).toEqual(['not-done approach', 'not-done pre-start-fill']);
  });

  it('takes a needle within one mark of the dial as read right, and not one beyond it', () => {
    for (const [called, kinds] of [
      [76, []],
      [74, []],
      [77, ['wrong-reading pre-start-fill']],
      [73, ['wrong-reading pre-start-fill']],
    ] as const) {
      expect(found(coach(act(begin('silent').rehearsal, 1, KEY, ...opening, needles(75, called))))).toEqual(kinds);
    }
  });

  function act2(rehearsal: Rehearsal): ReturnType<typeof coach> {
    const later = advanceRehearsal(rehearsal, rehearsal.cab.at + 3000, HANDS_OFF).rehearsal;
    return coach(later);
  }
});

describe('the whole check of a scripted trainee', { timeout: 600_000 }, () => {
  const { rehearsal, report } = rehearse(setupOf(scenario('tender-34-slow')));

  it('is in words that the grammar understands as they are meant', () => {
    const grammar = loadGrammar();
    expect(rehearsal.check.callouts.length).toBeGreaterThan(35);
    for (const { heard, meaning } of rehearsal.check.callouts) {
      expect([heard, parse(grammar, ['anything'], heard, 'psi')]).toEqual([heard, meaning]);
    }
  });

  it('can be replayed from its log', () => {
    expect(replay(JSON.parse(JSON.stringify(rehearsal.log)) as typeof rehearsal.log)).toEqual(rehearsal.check);
  });

  it('has the hand valve test of a rig that has one, and a timeline without gaps', () => {
    expect(report.steps.map((line) => line.step)).toContain('hand-valve-test');
    for (const [index, line] of report.steps.entries()) {
      expect(line.from).toBe(report.steps[index - 1]?.to ?? 0);
      expect(line.to).toBeGreaterThan(line.from);
    }
  });

  it('ends with a governor that cuts out below the build-up, and skips what cannot be reached', () => {
    const low = rehearse(setupOf(engine31({ kind: 'governor', cutOutPsi: 95, cutInPsi: 72 })));
    expect(found(low.report)).toEqual([]);
    expect(low.report.faults).toMatchObject([{ outcome: 'called', steps: ['governor-cut-in'] }]);
    expect(low.report.steps.find((line) => line.step === 'build-up')).toMatchObject({
      verdict: 'not judged',
      score: 100,
    });
  });
});
