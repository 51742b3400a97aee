import { observedIn } from '../judging/observation.ts';
import type { TestId } from '../judging/measurement.ts';
import type { Fault } from '../units/read-by-schema.ts';
import { isAdverse } from './cab.ts';
import type { Step, StepKind } from './plan.ts';

/** What a step must be so that its test can be judged on what it gathers. */
interface Fit {
  readonly kinds: readonly StepKind[];
  /** The outcomes that have a meaning for the test. */
  readonly outcomes?: readonly string[];
}

/** The kinds and cues are those of the driver's air brake test; which kind gathers which is ours, no source. */
const FITS: Readonly<Record<TestId, Fit>> = {
  none: { kinds: ['confirm'] },
  'plain-reading': { kinds: ['reading', 'event'], outcomes: ['cut-out', 'cut-in'] },
  'pre-start-fill': { kinds: ['reading'] },
  'governor-cut-out': { kinds: ['event'], outcomes: ['cut-out'] },
  'governor-cut-in': { kinds: ['event'], outcomes: ['cut-in'] },
  'static-leakage': { kinds: ['hold'] },
  'applied-leakage': { kinds: ['hold'] },
  'low-air-warning': { kinds: ['event'], outcomes: ['buzzer', 'no-warning'] },
  'spring-brake-activation': { kinds: ['event'], outcomes: ['valve-popped', 'valve-stayed-in'] },
  'build-up': { kinds: ['build'] },
  'tug-test': { kinds: ['observe'], outcomes: observedIn('tug-test') },
  'hand-valve-test': { kinds: ['observe'], outcomes: observedIn('hand-valve-test') },
  'service-brake-test': { kinds: ['observe'], outcomes: observedIn('service-brake-test') },
};

/** What is seen, felt or waited for: such a word in a list of things to confirm would pass, whatever else is called. */
const OUTCOMES = new Set(Object.values(FITS).flatMap(({ outcomes = [] }) => outcomes));

/**
 * Why a step does not fit its test: a hold that measures nothing, a moment of another test, a way of going wrong that nobody would listen
 * for. Each would pass without a word. Undefined when it fits. `path` is the step's place in the plan.
 */
export function testFault({ kind, test, outcomes = [], cues, cuesAfter = [] }: Step, path: string): Fault | undefined {
  const fit = FITS[test];
  // A place of the walk is judged on its items.
  if (kind === 'items' && test === 'none') return undefined;
  if (!fit.kinds.includes(kind)) {
    return {
      path: `${path}.test`,
      what: `“${test}” cannot be judged in ${withArticle(kind)} step.`,
      repair: `Make the step ${fit.kinds.map(withArticle).join(' or ')} step, or give it another test.`,
    };
  }
  const meant = fit.outcomes ?? [];
  const foreign = outcomes.find((cue) => !meant.includes(cue));
  if (foreign !== undefined) {
    return {
      path: `${path}.outcomes[${String(outcomes.indexOf(foreign))}]`,
      what: `“${foreign}” says nothing of “${test}”.`,
      repair: `Use ${meant.map((cue) => `“${cue}”`).join(', ')}.`,
    };
  }
  const unheard = meant.find((cue) => isAdverse(cue) && !outcomes.includes(cue));
  if (unheard !== undefined) {
    return {
      path: `${path}.outcomes`,
      what: `The step does not listen for “${unheard}”, so it could not fail.`,
      repair: `Add “${unheard}”.`,
    };
  }
  for (const [list, each] of Object.entries({ cues, cuesAfter })) {
    const cue = each.find((one) => OUTCOMES.has(one));
    if (cue !== undefined) {
      return {
        path: `${path}.${list}[${String(each.indexOf(cue))}]`,
        what: `“${cue}” is the outcome of a test, not a thing to confirm.`,
        repair: 'Give it a step of its own, with its test, and list it in outcomes.',
      };
    }
  }
  return undefined;
}

function withArticle(kind: StepKind): string {
  return `${/^[eo]/.test(kind) ? 'an' : 'a'} ${kind}`;
}
