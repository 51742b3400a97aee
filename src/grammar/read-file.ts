import { bad, good } from '../units/outcome.ts';
import type { Outcome, Problem } from '../units/outcome.ts';
import { scan } from './scan.ts';
import type { Lexeme } from './scan.ts';
import { NULL, VOID, placeText } from './syntax.ts';
import type { Alternative, Expansion, Place, Rule } from './syntax.ts';
import { readTag } from './tags.ts';

/** One grammar file, not yet linked: rule references are as written. */
export interface GrammarFile {
  readonly name: string;
  readonly imports: readonly { readonly name: string; readonly place: Place }[];
  readonly rules: readonly Rule[];
  readonly place: Place;
}

/** Carries a problem out of the recursive descent; caught in `readFile`, never seen outside. */
class Refusal extends Error {
  readonly problem: Problem;
  constructor(problem: Problem) {
    super(problem.what);
    this.problem = problem;
  }
}

/** Reads one JSGF file. Fails with what, `file:line:column` and the repair. */
export function readFile(file: string, source: string): Outcome<GrammarFile> {
  const lexemes = scan(file, source);
  if (!lexemes.ok) return lexemes;
  try {
    return good(new FileReader(lexemes.value).file());
  } catch (error) {
    if (error instanceof Refusal) return { ok: false, problem: error.problem };
    throw error;
  }
}

class FileReader {
  private readonly lexemes: readonly Lexeme[];
  private next = 0;

  constructor(lexemes: readonly Lexeme[]) {
    this.lexemes = lexemes;
  }

  file(): GrammarFile {
    const header = this.take();
    if (header.kind !== 'header' || !/^#JSGF V1\.0(\s+[\w-]+){0,2}\s*;$/.test(header.text))
      this.refuse(header, 'The file does not begin with a JSGF header.', 'Make the first line "#JSGF V1.0;".');
    this.word('grammar', 'Declare the name: "grammar NAME;".');
    const named = this.take();
    if (named.kind !== 'word') this.refuse(named, 'The grammar has no name.', 'Declare the name: "grammar NAME;".');
    this.sign(';');

    const imports: { name: string; place: Place }[] = [];
    const rules: Rule[] = [];
    for (;;) {
      const examples = this.docs();
      const lexeme = this.peek();
      if (lexeme.kind === 'end') break;
      if (lexeme.kind === 'word' && lexeme.text === 'import') {
        this.take();
        const imported = this.take();
        if (imported.kind !== 'rule')
          this.refuse(imported, 'An import names no rule.', 'Write "import <grammar.rule>;".');
        this.sign(';');
        imports.push({ name: imported.text, place: imported.place });
      } else rules.push(this.rule(examples));
    }
    return { name: named.text, imports, rules, place: named.place };
  }

  private rule(examples: readonly string[]): Rule {
    const isPublic = this.peek().kind === 'word' && this.peek().text === 'public';
    if (isPublic) this.take();
    const name = this.take();
    if (name.kind !== 'rule') this.refuse(name, `A rule must begin here, not ${shown(name)}.`, 'Write "<name> = …;".');
    if (!/^[^\s.<>]+$/.test(name.text))
      this.refuse(name, `<${name.text}> is not a rule name.`, 'Use letters, digits and hyphens.');
    this.sign('=');
    const expansion = this.alternatives();
    this.sign(';');
    return { name: name.text, isPublic, expansion, examples, place: name.place };
  }

  private alternatives(): Expansion {
    const items: Alternative[] = [];
    do {
      if (items.length > 0) this.take();
      const lexeme = this.peek();
      const weight = lexeme.kind === 'weight' ? this.weight(this.take()) : undefined;
      if (items[0] !== undefined && (weight === undefined) !== (items[0].weight === undefined))
        this.refuse(
          lexeme,
          'Some alternatives have a weight and some have none.',
          'Give every alternative a weight, or none.',
        );
      items.push({ item: this.sequence(), ...(weight === undefined ? {} : { weight }) });
    } while (this.isSign('|'));
    if (items.every((item) => item.weight === 0))
      this.refuse(this.peek(), 'Every alternative has weight 0.', 'Give one a weight above 0.');
    const [only] = items;
    return items.length === 1 && only !== undefined ? only.item : { kind: 'choice', items };
  }

  private weight(lexeme: Lexeme): number {
    if (!/^(\d+(\.\d*)?|\.\d+)([eE][+-]?\d+)?$/.test(lexeme.text))
      this.refuse(lexeme, `"${lexeme.text}" is not a weight.`, 'Use a number of 0 or more, as in /0.5/.');
    return Number(lexeme.text);
  }

  private sequence(): Expansion {
    const items: Expansion[] = [];
    for (let item = this.item(); item !== undefined; item = this.item()) items.push(item);
    const [only] = items;
    if (only === undefined)
      this.refuse(
        this.peek(),
        `An alternative is empty before ${shown(this.peek())}.`,
        'Say something, or write <NULL>.',
      );
    return items.length === 1 ? only : { kind: 'sequence', items };
  }

  private item(): Expansion | undefined {
    let item = this.primary();
    if (item === undefined) return undefined;
    for (;;) {
      const lexeme = this.peek();
      if (lexeme.kind === 'tag') {
        const op = readTag(this.take().text);
        if (op === undefined)
          this.refuse(lexeme, `{${lexeme.text}} is not a tag.`, 'Use one of the tags listed in src/grammar/tags.ts.');
        item = { kind: 'tagged', item, op };
      } else if (this.isSign('*') || this.isSign('+')) {
        item = { kind: 'repeat', item, atLeastOnce: this.take().text === '+' };
      } else return item;
    }
  }

  private primary(): Expansion | undefined {
    const lexeme = this.peek();
    if (lexeme.kind === 'word') return this.words(this.take().text);
    if (lexeme.kind === 'quoted') {
      if (lexeme.text.trim() === '') this.refuse(lexeme, 'A quoted word is empty.', 'Put a word between the quotes.');
      return this.words(this.take().text);
    }
    if (lexeme.kind === 'rule') {
      this.take();
      if (lexeme.text === 'NULL') return NULL;
      if (lexeme.text === 'VOID') return VOID;
      return { kind: 'rule', name: lexeme.text, place: lexeme.place };
    }
    if (this.isSign('(') || this.isSign('[')) {
      const open = this.take();
      const inner = this.alternatives();
      const close = open.text === '(' ? ')' : ']';
      if (!this.isSign(close))
        this.refuse(open, `The ${open.text} is not closed before ${shown(this.peek())}.`, `Close it with ${close}.`);
      this.take();
      return open.text === '(' ? inner : { kind: 'optional', item: inner };
    }
    return undefined;
  }

  /** The words of a token; a quoted one may hold several. */
  private words(text: string): Expansion {
    const items = text
      .trim()
      .toLowerCase()
      .split(/\s+/)
      .map((word): Expansion => ({ kind: 'word', word }));
    const [only] = items;
    return items.length === 1 && only !== undefined ? only : { kind: 'sequence', items };
  }

  /** Skips documentation comments and gives the examples of the last one. */
  private docs(): readonly string[] {
    let examples: string[] = [];
    for (let doc = this.lexemes[this.next]; doc?.kind === 'doc'; doc = this.lexemes[++this.next])
      examples = [...doc.text.matchAll(/@example\s+([^\n@]*)/g)].map((match) => (match[1] ?? '').trim());
    return examples;
  }

  /** The next token; a documentation comment that is not before a rule is a comment like others. */
  private peek(): Lexeme {
    this.docs();
    const lexeme = this.lexemes[this.next];
    if (lexeme === undefined) throw new Error('read past the end of the tokens');
    return lexeme;
  }

  private take(): Lexeme {
    const lexeme = this.peek();
    if (lexeme.kind !== 'end') this.next++;
    return lexeme;
  }

  private isSign(text: string): boolean {
    return this.peek().kind === 'sign' && this.peek().text === text;
  }

  private sign(text: string): void {
    if (!this.isSign(text))
      this.refuse(this.peek(), `"${text}" is missing before ${shown(this.peek())}.`, `Put ${text} before it.`);
    this.take();
  }

  private word(text: string, repair: string): void {
    const lexeme = this.take();
    if (lexeme.kind !== 'word' || lexeme.text !== text)
      this.refuse(lexeme, `"${text}" is missing before ${shown(lexeme)}.`, repair);
  }

  private refuse(lexeme: Lexeme, what: string, repair: string): never {
    const refused = bad(what, placeText(lexeme.place), repair);
    throw new Refusal(refused.problem);
  }
}

function shown(lexeme: Lexeme): string {
  if (lexeme.kind === 'end') return lexeme.text;
  return lexeme.kind === 'rule' ? `<${lexeme.text}>` : lexeme.kind === 'tag' ? `{${lexeme.text}}` : `"${lexeme.text}"`;
}
