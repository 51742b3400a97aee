import { compile } from '../grammar/compile.ts';
import type { Meaning } from '../grammar/meaning.ts';
import { parse, parseNear } from '../grammar/parse.ts';
import type { Ruleset } from '../grammar/ruleset.ts';
import { hints, sampleMeaning, samples } from '../grammar/samples.ts';
import { cueIds } from '../grammar/select.ts';
import { readGrammar } from '../grammar/read-grammar.ts';
import { nearForms } from '../items/near-words.ts';
import type { Grammar } from '../grammar/syntax.ts';
import type { Plan } from '../check/plan.ts';
import { problemLine } from '../units/outcome.ts';
import type { PressureUnit } from '../units/pressure.ts';
import { grammarOfPlan } from './grammar-of-plan.ts';
import { isAllBad } from './all-bad.ts';

/** What the screens and the ear need of the grammar. */
export interface Language {
  /** Every cue id that a plan may use. */
  readonly cues: ReadonlySet<string>;
  /** Reasons that may be given for skipping a step. */
  readonly skipReasons: readonly string[];
  /** A phrase for each of these cues and commands (two for `readings` and `reasons`), as many as a phone has room for. */
  hints(rules: readonly string[]): readonly string[];
  parse(rules: readonly string[], text: string, unit: PressureUnit): Meaning | undefined;
  ruleset(rules: readonly string[], unit: PressureUnit): Ruleset;
  /** The same with the items of a plan in it, and more files that use them, by name; throws on a file that is no grammar. */
  of(plan: Plan, more?: Readonly<Record<string, string>>): Language;
}

/** Whatever can be said in any step, of what is so and of what is not. */
const ANYTHING = ['anything', 'denied'];
/** Rules of which one example does not show enough. */
const SHOWN_TWICE = new Set(['readings', 'reasons']);
/** As many as fit on a phone without scrolling. */
const MOST_HINTS = 4;

export function languageOf(grammar: Grammar): Language {
  const cues = new Set(cueIds(grammar));
  const reasons = [...samples(grammar, { rules: ['reasons'], unit: 'psi' }, 1)].map(
    (sample) => sampleMeaning(sample).reason,
  );
  const language: Language = {
    cues,
    skipReasons: [...new Set(reasons.filter((reason) => reason !== undefined))],
    hints: (rules) => rules.flatMap((rule) => hints(grammar, rule, SHOWN_TWICE.has(rule) ? 2 : 1)).slice(0, MOST_HINTS),
    // What was said in the moment before a step changed is still understood; the machine decides whether it counts.
    parse: (rules, text, unit) =>
      (rules.length === 0 ? undefined : parse(grammar, rules, text, unit)) ??
      parse(grammar, ANYTHING, text, unit) ??
      parseNear(grammar, { rules: [...rules, ...ANYTHING], text, unit }, nearForms, isAllBad),
    ruleset: (rules, unit) => compile(grammar, rules, unit),
    of(plan, more) {
      const own = grammarOfPlan(grammar, plan);
      if (more !== undefined) {
        const read = readGrammar({ ...own.sources, ...more });
        if (!read.ok) throw new Error(problemLine(read.problem));
        return languageOf(read.value);
      }
      return own === grammar ? language : languageOf(own);
    },
  };
  return language;
}
