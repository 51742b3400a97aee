import type { Shape } from './shapes.ts';

/** A place in a drawing that can be pointed at: its box on the sheet, and what stands there, in words that fit its every state. */
export interface Spot {
  readonly x: number;
  readonly y: number;
  readonly width: number;
  readonly height: number;
  readonly words: string;
}

/** One state of what is drawn. */
export interface Look {
  readonly shapes: readonly Shape[];
  /** The text alternative: what is seen, and no word of whether that is as it must be. */
  readonly seen: string;
  /** The spots of the fault, any of which is right to point at; empty when there is none. */
  readonly at: readonly string[];
}

/** What a family of items looks like: what never changes, where one may point, and its states by id; `good` is always one of them. */
export interface Drawing {
  readonly base: readonly Shape[];
  readonly spots: Readonly<Record<string, Spot>>;
  readonly looks: Readonly<Record<string, Look>> & { readonly good: Look };
}

export function spot(x: number, y: number, width: number, height: number, words: string): Spot {
  return { x, y, width, height, words };
}

export function look(seen: string, at: readonly string[], ...shapes: readonly (Shape | readonly Shape[])[]): Look {
  return { seen, at, shapes: shapes.flat() };
}
