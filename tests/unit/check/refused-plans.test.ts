import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { readPlan } from '../../../src/check/read-plan.ts';
import { problemLine } from '../../../src/units/outcome.ts';
import { FULL } from './support/say.ts';

const GRAMMAR = readFileSync(new URL('../../../grammars/cues.jsgf', import.meta.url), 'utf8');
const CUES = new Set([...GRAMMAR.matchAll(/\{cue ([a-z-]+)\}/g)].map(([, id]) => id ?? ''));
const psi = (value: number): object => ({ value, unit: 'psi' });

/** The whole line that a plan of these steps, made from the first step of the full cab check, is refused with. */
function refusal(...steps: readonly object[]): string {
  const [first] = FULL.steps;
  const plain = { ...first, startsClock: undefined };
  const json: unknown = JSON.parse(
    JSON.stringify({ ...FULL, steps: steps.map((step, at) => ({ ...plain, id: `step-${at}`, ...step })) }),
  );
  const read = readPlan(json, 'p.json', CUES);
  return read.ok ? 'accepted' : problemLine(read.problem);
}
const whole = (json: unknown): string => {
  const read = readPlan(json, 'p.json', CUES);
  return read.ok ? 'accepted' : problemLine(read.problem);
};

describe('a plan that is refused says where, what, and what to do, in one line', () => {
  it.each([
    [[{ kind: 'hold' }], 'p.json, steps[0].holdSeconds: A hold has no length. Add holdSeconds, in seconds.'],
    [
      [{ holdSeconds: 60 }],
      'p.json, steps[0].holdSeconds: A confirm step has no use for holdSeconds. Remove it, or make the step a hold step.',
    ],
    [
      [{ kind: 'hold', holdSeconds: 29 }],
      'p.json, steps[0].holdSeconds: steps[0].holdSeconds is below 30. Correct it.',
    ],
    [[{ kind: 'hold', test: 'static-leakage', holdSeconds: 30 }], 'accepted'],
    [[{ kind: 'hold', test: 'static-leakage', holdSeconds: 900 }], 'accepted'],
    [
      [{ kind: 'hold', holdSeconds: 901 }],
      'p.json, steps[0].holdSeconds: steps[0].holdSeconds is above 900. Correct it.',
    ],
    [
      [{ kind: 'event' }],
      'p.json, steps[0].outcomes: An event step has no cue for its moment. List at least one cue in outcomes.',
    ],
    [
      [{ kind: 'observe' }],
      'p.json, steps[0].outcomes: An observe step has no cues for what may be seen or felt. List at least one cue in outcomes.',
    ],
    [
      [{ outcomes: ['cut-out'] }],
      'p.json, steps[0].outcomes: A confirm step has no use for outcomes. Remove it, or make the step an event or observe step.',
    ],
    [
      [{ kind: 'event', outcomes: ['cut-out'], holdSeconds: 60 }],
      'p.json, steps[0].holdSeconds: An event step has no use for holdSeconds. Remove it, or make the step a hold step.',
    ],
    [[{ kind: 'build' }], 'p.json, steps[0].from: A build step lacks a pressure of its window. Add both from and to.'],
    [
      [{ kind: 'build', from: psi(85) }],
      'p.json, steps[0].to: A build step lacks a pressure of its window. Add both from and to.',
    ],
    [
      [{ kind: 'build', to: psi(85) }],
      'p.json, steps[0].from: A build step lacks a pressure of its window. Add both from and to.',
    ],
    [
      [{ kind: 'build', from: psi(85), to: psi(85) }],
      'p.json, steps[0].from: The window of a build step begins at or above its end. Make from lower than to.',
    ],
    [[{ kind: 'build', test: 'build-up', from: psi(85), to: psi(86) }], 'accepted'],
    [
      [{ kind: 'reading', from: psi(85) }],
      'p.json, steps[0].from: A reading step has no use for from. Remove it, or make the step a build step.',
    ],
    [
      [{ kind: 'reading', to: psi(85) }],
      'p.json, steps[0].to: A reading step has no use for to. Remove it, or make the step a build step.',
    ],
    [
      [{ kind: 'reading', engineSpeed: 'idle' }],
      'p.json, steps[0].engineSpeed: A reading step has no use for engineSpeed. Remove it, or make the step a build step.',
    ],
    [
      [{ kind: 'reading', plausible: { min: psi(80), max: psi(80) } }],
      'p.json, steps[0].plausible: The lowest plausible pressure is not below the highest. Make min lower than max.',
    ],
    [[{ kind: 'reading', test: 'plain-reading', plausible: { min: psi(79), max: psi(80) } }], 'accepted'],
    [
      [{ kind: 'reading', plausible: { min: psi(-1), max: psi(80) } }],
      'p.json, steps[0].plausible.min.value: steps[0].plausible.min.value is below 0. Correct it.',
    ],
    [[{ cues: [] }], 'p.json, steps[0].cues: A confirm step has nothing to confirm. List at least one cue.'],
    [[{ cues: [], cuesAfter: ['chocks-set'] }], 'accepted'],
    [[{ kind: 'reading', test: 'plain-reading', cues: [] }], 'accepted'],
    [
      [{ id: 'Step 1' }],
      'p.json, steps[0].id: steps[0].id is not in lower case letters, digits and hyphens. Correct it.',
    ],
    [[{ id: 'a' }, { id: 'a' }], 'p.json, steps[1].id: Two steps have the id “a”. Give each step an id of its own.'],
    [
      [{ cues: ['horn'] }],
      'p.json, steps[0].cues[0]: “horn” is not a cue that the grammar knows. Use a cue of grammars/cues.jsgf, or add it there.',
    ],
    [
      [{ cues: ['chocks-set', 'chocks-set'] }],
      'p.json, steps[0].cues[1]: The step has the cue “chocks-set” twice. Leave it in one place.',
    ],
    [
      [{ cuesAfter: ['chocks-set'] }],
      'p.json, steps[0].cuesAfter[0]: The step has the cue “chocks-set” twice. Leave it in one place.',
    ],
    [
      [{ kind: 'observe', outcomes: ['chocks-set'] }],
      'p.json, steps[0].outcomes[0]: The step has the cue “chocks-set” twice. Leave it in one place.',
    ],
    [
      [{ cueIfFitted: { 'cut-out': 'fastIdle' } }],
      'p.json, steps[0].cueIfFitted: “cut-out” is not a cue of this step. Name one of its cues.',
    ],
    [
      [{ startsClock: 'cut-out' }],
      'p.json, steps[0].startsClock: “cut-out” is not a cue of this step. Name one of its cues.',
    ],
    [
      [{ stopsClock: 'chocks-set' }],
      'p.json, steps[0].stopsClock: The clock is stopped but not started before. Add startsClock to an earlier step.',
    ],
    [
      [{ startsClock: 'chocks-set' }],
      'p.json, steps[0].startsClock: The clock is started but never stopped. Add stopsClock to a later step.',
    ],
    [
      [{ startsClock: 'chocks-set' }, { startsClock: 'chocks-set' }, { stopsClock: 'chocks-set' }],
      'p.json, steps[1].startsClock: The clock is started or stopped in two steps. Leave it in one step.',
    ],
    [
      [{ startsClock: 'chocks-set' }, { stopsClock: 'chocks-set' }, { stopsClock: 'chocks-set' }],
      'p.json, steps[2].stopsClock: The clock is started or stopped in two steps. Leave it in one step.',
    ],
    [
      [{ stopsClock: 'chocks-set' }, { startsClock: 'chocks-set' }],
      'p.json, steps[0].stopsClock: The clock is stopped but not started before. Add startsClock to an earlier step.',
    ],
    [[{ startsClock: 'chocks-set' }, { stopsClock: 'chocks-set' }], 'accepted'],
    [[{ startsClock: 'chocks-set', stopsClock: 'ignition-on' }], 'accepted'],
    [[{ brief: '' }], 'p.json, steps[0].brief: steps[0].brief is empty. Fill it in.'],
    [[{ title: undefined }], 'p.json, steps[0].title: steps[0].title is missing. Add it.'],
    [
      [{ colour: 'red' }],
      'p.json, steps[0].colour: steps[0].colour is not an entry that is known here. Remove it or correct its name.',
    ],
    [
      [{ test: 'horn' }],
      'p.json, steps[0].test: steps[0].test is "horn", which is not possible. Use one of "none", "plain-reading", "pre-start-fill", "governor-cut-out", "governor-cut-in", "static-leakage", "applied-leakage", "low-air-warning", "spring-brake-activation", "build-up", "tug-test", "hand-valve-test", "service-brake-test".',
    ],
    [
      [{ kind: 'hold', holdSeconds: 60 }],
      'p.json, steps[0].test: “none” cannot be judged in a hold step. Make the step a confirm step, or give it another test.',
    ],
    [
      [{ kind: 'hold', test: 'plain-reading', holdSeconds: 60 }],
      'p.json, steps[0].test: “plain-reading” cannot be judged in a hold step. Make the step a reading or an event step, or give it another test.',
    ],
    [
      [{ kind: 'observe', outcomes: ['rig-moved'] }],
      'p.json, steps[0].test: “none” cannot be judged in an observe step. Make the step a confirm step, or give it another test.',
    ],
    [
      [{ kind: 'observe', test: 'tug-test', outcomes: ['rig-held'] }],
      'p.json, steps[0].outcomes: The step does not listen for “rig-moved”, so it could not fail. Add “rig-moved”.',
    ],
    [
      [{ kind: 'event', test: 'low-air-warning', outcomes: ['buzzer'] }],
      'p.json, steps[0].outcomes: The step does not listen for “no-warning”, so it could not fail. Add “no-warning”.',
    ],
    [
      [{ kind: 'event', test: 'governor-cut-out', outcomes: ['cut-in'] }],
      'p.json, steps[0].outcomes[0]: “cut-in” says nothing of “governor-cut-out”. Use “cut-out”.',
    ],
    [
      [{ kind: 'event', test: 'low-air-warning', outcomes: ['buzzer', 'no-warning', 'valve-popped'] }],
      'p.json, steps[0].outcomes[2]: “valve-popped” says nothing of “low-air-warning”. Use “buzzer”, “no-warning”.',
    ],
    [
      [{ cues: ['chocks-set', 'rig-held'] }],
      'p.json, steps[0].cues[1]: “rig-held” is the outcome of a test, not a thing to confirm. Give it a step of its own, with its test, and list it in outcomes.',
    ],
    [[], 'p.json, steps: steps is empty: a plan has at least one step. Correct it.'],
  ])('%j', (steps, line) => {
    expect(refusal(...steps)).toBe(line);
  });

  it.each([
    [
      { ...FULL, format: 'limits' },
      'p.json, format: This is not a plan of a check. A plan begins with "format": "two-needles-plan".',
    ],
    [{ ...FULL, version: 2 }, 'p.json, version: Plans of version 2 cannot be read here. Use version 1.'],
    [{ ...FULL, title: ' ' }, 'p.json, title: title is empty. Fill it in.'],
  ])('as a whole: %#', (json, line) => {
    expect(whole(json)).toBe(line);
  });
});
