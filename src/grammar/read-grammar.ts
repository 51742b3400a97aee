import { bad, good } from '../units/outcome.ts';
import type { Outcome } from '../units/outcome.ts';
import { readFile } from './read-file.ts';
import type { GrammarFile } from './read-file.ts';
import { partsOf, placeText } from './syntax.ts';
import type { Expansion, Grammar, Place, Rule } from './syntax.ts';

type Refused = ReturnType<typeof bad>;

/**
 * Reads and links grammar files: `sources` is file name to text, for example `cues.jsgf`. Folders before the name are
 * ignored, and a file must declare the name that it has. Fails with what, `file:line:column` and the repair.
 */
export function readGrammar(sources: Readonly<Record<string, string>>): Outcome<Grammar> {
  const files = new Map<string, GrammarFile>();
  for (const [path, source] of Object.entries(sources)) {
    const file = path.slice(path.lastIndexOf('/') + 1);
    const read = readFile(file, source);
    if (!read.ok) return read;
    if (`${read.value.name}.jsgf` !== file)
      return bad(
        `The grammar is called "${read.value.name}", its file ${file}.`,
        placeText(read.value.place),
        'Give both the same name.',
      );
    files.set(read.value.name, read.value);
  }

  const rules = new Map<string, Rule>();
  for (const file of files.values()) {
    for (const rule of file.rules) {
      const name = `${file.name}.${rule.name}`;
      const first = rules.get(name);
      if (first !== undefined)
        return bad(
          `<${rule.name}> is defined twice; first at ${placeText(first.place)}.`,
          placeText(rule.place),
          'Remove or rename one.',
        );
      rules.set(name, { ...rule, name });
    }
  }
  for (const file of files.values()) {
    const scope = scopeOf(file, rules);
    if (!scope.ok) return scope;
    for (const rule of file.rules) {
      const linked = link(rule.expansion, file.name, scope.value, rules);
      if (!linked.ok) return linked;
      rules.set(`${file.name}.${rule.name}`, { ...rule, name: `${file.name}.${rule.name}`, expansion: linked.value });
    }
  }
  const loop = findRecursion(rules);
  if (loop !== undefined) return loop;
  return good({ sources, rules, written: writtenForms(rules), prepared: new Map<string, unknown>() });
}

/** Simple names that a file may use for rules of others: name to full names. */
function scopeOf(file: GrammarFile, rules: ReadonlyMap<string, Rule>): Outcome<ReadonlyMap<string, readonly string[]>> {
  const scope = new Map<string, string[]>();
  for (const { name, place } of file.imports) {
    const grammar = name.slice(0, name.lastIndexOf('.'));
    const wanted = name.slice(name.lastIndexOf('.') + 1);
    const found = [...rules.values()].filter(
      (rule) => rule.isPublic && (wanted === '*' ? rule.name.startsWith(`${grammar}.`) : rule.name === name),
    );
    if (grammar === '' || found.length === 0)
      return bad(
        `The import <${name}> finds no public rule.`,
        placeText(place),
        'Write <grammar.rule> or <grammar.*>, and make the rule public there.',
      );
    for (const rule of found) {
      const simple = rule.name.slice(grammar.length + 1);
      scope.set(simple, [...new Set([...(scope.get(simple) ?? []), rule.name])]);
    }
  }
  return good(scope);
}

/** Puts full names into the references of a rule. Local rules go before imported ones, as the Note says. */
function link(
  expansion: Expansion,
  grammar: string,
  scope: ReadonlyMap<string, readonly string[]>,
  rules: ReadonlyMap<string, Rule>,
): Outcome<Expansion> {
  let refused: Refused | undefined;
  const full = (name: string, place: Place): string => {
    const local = rules.get(`${grammar}.${name}`) ?? (name.startsWith(`${grammar}.`) ? rules.get(name) : undefined);
    if (local !== undefined) return local.name;
    const elsewhere = name.includes('.') ? rules.get(name) : undefined;
    const found = elsewhere?.isPublic === true ? [elsewhere.name] : (scope.get(name) ?? []);
    const [only] = found;
    if (only !== undefined && found.length === 1) return only;
    refused ??=
      found.length === 0
        ? bad(`<${name}> is not defined.`, placeText(place), 'Define it, import it, or correct the name.')
        : bad(
            `<${name}> may be any of ${found.map((each) => `<${each}>`).join(', ')}.`,
            placeText(place),
            'Write the full name.',
          );
    return name;
  };
  const walk = (node: Expansion): Expansion => {
    switch (node.kind) {
      case 'rule':
        return { ...node, name: full(node.name, node.place) };
      case 'sequence':
        return { ...node, items: node.items.map(walk) };
      case 'choice':
        return { ...node, items: node.items.map((each) => ({ ...each, item: walk(each.item) })) };
      case 'optional':
      case 'repeat':
      case 'tagged':
        return { ...node, item: walk(node.item) };
      case 'word':
      case 'null':
      case 'void':
        return node;
    }
  };
  const linked = walk(expansion);
  return refused ?? good(linked);
}

/** A rule that reaches itself: the engines could take some of these, but our phrases are finite-state by design. */
function findRecursion(rules: ReadonlyMap<string, Rule>): Refused | undefined {
  const done = new Set<string>();
  const visit = (name: string, path: readonly string[], place: Place): Refused | undefined => {
    if (path.includes(name))
      return bad(
        `<${name}> reaches itself: ${[...path.slice(path.indexOf(name)), name].join(' > ')}.`,
        placeText(place),
        'Use * or + to repeat.',
      );
    if (done.has(name)) return undefined;
    const rule = rules.get(name);
    if (rule === undefined) throw new Error(`unlinked rule ${name}`);
    for (const reference of references(rule.expansion)) {
      const loop = visit(reference.name, [...path, name], reference.place);
      if (loop !== undefined) return loop;
    }
    done.add(name);
    return undefined;
  };
  for (const rule of rules.values()) {
    const loop = visit(rule.name, [], rule.place);
    if (loop !== undefined) return loop;
  }
  return undefined;
}

/** The rule references in an expansion, in order. */
export function references(node: Expansion): readonly { readonly name: string; readonly place: Place }[] {
  return node.kind === 'rule' ? [node] : partsOf(node).flatMap(references);
}

function writtenForms(rules: ReadonlyMap<string, Rule>): ReadonlyMap<string, readonly string[]> {
  const written = new Map<string, readonly string[]>();
  const walk = (node: Expansion): void => {
    if (node.kind === 'tagged' && node.op.do === 'written' && !written.has(node.op.text))
      written.set(node.op.text, firstPhrase(node.item, rules));
    partsOf(node).forEach(walk);
  };
  for (const rule of rules.values()) walk(rule.expansion);
  return written;
}

/** The words of the first alternatives, without optional parts. */
function firstPhrase(node: Expansion, rules: ReadonlyMap<string, Rule>): readonly string[] {
  if (node.kind === 'word') return [node.word];
  if (node.kind === 'optional') return [];
  if (node.kind === 'rule') {
    const rule = rules.get(node.name);
    return rule === undefined ? [] : firstPhrase(rule.expansion, rules);
  }
  const parts = node.kind === 'choice' ? partsOf(node).slice(0, 1) : partsOf(node);
  return parts.flatMap((part) => firstPhrase(part, rules));
}
