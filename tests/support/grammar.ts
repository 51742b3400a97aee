import { readFileSync, readdirSync } from 'node:fs';
import { readGrammar } from '../../src/grammar/read-grammar.ts';
import type { Grammar } from '../../src/grammar/syntax.ts';
import { problemLine } from '../../src/units/outcome.ts';

const FOLDER = new URL('../../grammars/', import.meta.url);

/** The text of each grammar file of the project. */
function grammarSources(): Record<string, string> {
  const names = readdirSync(FOLDER).filter((name) => name.endsWith('.jsgf'));
  return Object.fromEntries(names.map((name) => [name, readFileSync(new URL(name, FOLDER), 'utf8')]));
}

let own: Grammar | undefined;

/** The project's own grammar: one for all tests, since what is worked out of it can only be worked out again. */
export function loadGrammar(): Grammar {
  return (own ??= read(grammarSources()));
}

/** The project's own grammar with more cues, each a public rule and its name in `<cue>`, as a developer adds one. */
export function withCues(cues: Readonly<Record<string, string>>): Grammar {
  const sources = grammarSources();
  const rules = Object.entries(cues).map(([id, phrase]) => `public <${id}> = ${phrase} {cue ${id}};\n`);
  const names = Object.keys(cues).map((id) => `<${id}> | `);
  const file = (sources['cues.jsgf'] ?? '').replace('public <cue> = ', `public <cue> = ${names.join('')}`);
  return read({ ...sources, 'cues.jsgf': `${file}\n${rules.join('')}` });
}

/** A grammar `x` of these rules, beside other files. */
export function readRules(rules: string, others: Record<string, string> = {}): Grammar {
  return read({ 'x.jsgf': `#JSGF V1.0;\ngrammar x;\n${rules}`, ...others });
}

function read(sources: Record<string, string>): Grammar {
  const grammar = readGrammar(sources);
  if (!grammar.ok) throw new Error(problemLine(grammar.problem));
  return grammar.value;
}
