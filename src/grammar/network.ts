import type { Active } from './select.ts';
import type { Expansion } from './syntax.ts';
import type { Op } from './tags.ts';

/**
 * Where one can be in a phrase. After building, `steps` holds every word that may come next, with the tags passed on
 * the way to the state behind it, and `ends` the tags of each way in which the phrase may be complete here.
 */
export interface State {
  readonly steps: ReadonlyMap<string, readonly Step[]>;
  readonly ends: readonly (readonly Op[])[];
}

interface Step {
  readonly ops: readonly Op[];
  readonly to: State;
}

/** Raw node: words lead on, and so do free moves, some of which pass a tag. */
interface Node {
  word?: { readonly text: string; readonly to: Node };
  readonly free: { readonly to: Node; readonly op?: Op }[];
  isEnd?: true;
  /** Lays a rule here when it is first reached. */
  lay?: (() => void) | undefined;
}

/** The word network of what is active: rules are laid in place, and states worked out, when they are first reached. */
export function buildNetwork(active: Active): State {
  const start: Node = { free: [] };
  const end: Node = { free: [], isEnd: true };
  lay(active.expansion, start, end, active);
  return new LazyState(start, new Map());
}

function lay(node: Expansion, from: Node, to: Node, active: Active): void {
  switch (node.kind) {
    case 'word': {
      const at: Node = { free: [], word: { text: node.word, to } };
      from.free.push({ to: at });
      return;
    }
    case 'rule': {
      const expansion = active.rules.get(node.name);
      if (expansion === undefined) return;
      const at: Node = { free: [] };
      at.lay = () => lay(expansion, at, to, active);
      from.free.push({ to: at });
      return;
    }
    case 'sequence': {
      let at = from;
      node.items.forEach((item, index) => {
        const next: Node = index === node.items.length - 1 ? to : { free: [] };
        lay(item, at, next, active);
        at = next;
      });
      return;
    }
    case 'choice':
      for (const { item } of node.items) lay(item, from, to, active);
      return;
    case 'optional':
      lay(node.item, from, to, active);
      from.free.push({ to });
      return;
    case 'repeat': {
      const head: Node = { free: [] };
      const tail: Node = { free: [{ to: head }, { to }] };
      from.free.push({ to: head });
      lay(node.item, head, tail, active);
      if (!node.atLeastOnce) from.free.push({ to });
      return;
    }
    case 'tagged': {
      const last: Node = { free: [{ to, op: node.op }] };
      lay(node.item, from, last, active);
      return;
    }
    case 'null':
      from.free.push({ to });
      return;
    case 'void':
      return;
  }
}

class LazyState implements State {
  private readonly node: Node;
  private readonly states: Map<Node, State>;
  private worked: State | undefined;

  constructor(node: Node, states: Map<Node, State>) {
    this.node = node;
    this.states = states;
  }

  get steps(): State['steps'] {
    return (this.worked ??= this.work()).steps;
  }

  get ends(): State['ends'] {
    return (this.worked ??= this.work()).ends;
  }

  private work(): State {
    const steps = new Map<string, Step[]>();
    const ends: (readonly Op[])[] = [];
    const path = new Set<Node>();
    const follow = (node: Node, ops: readonly Op[]): void => {
      if (path.has(node)) return;
      path.add(node);
      node.lay?.();
      node.lay = undefined;
      if (node.isEnd === true) ends.push(ops);
      if (node.word !== undefined) {
        const step: Step = { ops, to: this.stateOf(node.word.to) };
        const known = steps.get(node.word.text);
        if (known === undefined) steps.set(node.word.text, [step]);
        else known.push(step);
      }
      for (const { to, op } of node.free) follow(to, op === undefined || op.do === 'written' ? ops : [...ops, op]);
      path.delete(node);
    };
    follow(this.node, []);
    return { steps, ends };
  }

  private stateOf(node: Node): State {
    const known = this.states.get(node);
    if (known !== undefined) return known;
    const state = new LazyState(node, this.states);
    this.states.set(node, state);
    return state;
  }
}
