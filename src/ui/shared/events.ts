import { noChange } from 'lit';
import { Directive, directive, PartType, type ElementPart, type PartInfo } from 'lit/directive.js';
import type { Filter } from '../../audit/filter.ts';
import type { ReportReview } from '../../items/report-review.ts';
import type { Plan } from '../../check/plan.ts';
import type { LimitProfile } from '../../judging/profile.ts';
import type { RigSettings } from '../../judging/result.ts';
import type { Movement } from '../../rehearsal/hands.ts';
import type { Action } from '../../running/check-model.ts';
import type { RigDefaults } from '../../running/rig-defaults.ts';
import type { Settings } from '../../running/settings.ts';
import type { ShelfFile } from '../../shelf/shelf-file.ts';
import type { Explained } from '../../rehearsal/pre-trip/explain.ts';
import type { RehearsalChoice } from '../rehearse/rehearsal-choice.ts';
import type { WalkChoice } from '../rehearse/walk/walk-choice.ts';
import type { StartChoice } from '../start/start-model.ts';

/** Every event that elements send each other, by name, and what it carries. */
interface Details {
  readonly act: { readonly action: Action; readonly source: 'touch' | 'key' };
  readonly again: undefined;
  readonly busy: boolean;
  readonly closed: undefined;
  readonly correct: undefined;
  readonly demo: undefined;
  readonly discard: undefined;
  readonly done: undefined;
  /** Of a walk on paper: where a defect is, or its class. */
  readonly explain: { readonly item: string; readonly what: Explained };
  readonly filter: Filter;
  /** Id of a check. */
  readonly 'give-up': string;
  /** Index of an entry. */
  readonly 'hear-again': number;
  readonly imported: undefined;
  /** A rehearsal was kept. */
  readonly kept: undefined;
  /** The address to go on at. */
  readonly leave: string;
  readonly movement: Movement;
  readonly rehearse: RehearsalChoice;
  /** Id of a rehearsal. */
  readonly remove: string;
  /** Id of a check. */
  readonly resume: string;
  readonly reviewed: ReportReview;
  readonly rig: RigSettings;
  readonly 'rig-defaults': { readonly rig: string; readonly defaults: RigDefaults };
  /** Id of a rig that is no longer offered. */
  readonly 'rig-removed': string;
  readonly save: undefined;
  readonly saved: Plan | LimitProfile;
  readonly settings: Partial<Settings>;
  readonly 'shelf-file': ShelfFile;
  readonly signed: undefined;
  readonly 'sound-check': boolean;
  /** A place of a drawing that is pointed at. */
  readonly spot: string;
  readonly start: StartChoice;
  readonly trainee: string;
  readonly undo: undefined;
  readonly walk: WalkChoice;
  readonly update: undefined;
}

type Carried<N extends keyof Details> = Details[N] extends undefined ? [] : [detail: Details[N]];

/** Tells the parent, or whoever else listens to this very element. */
export function send<N extends keyof Details>(from: EventTarget, name: N, ...[detail]: Carried<N>): void {
  from.dispatchEvent(new CustomEvent(name, { detail }));
}

/** Tells every element around it, through shadow roots. */
export function sendUp<N extends keyof Details>(from: EventTarget, name: N, ...[detail]: Carried<N>): void {
  from.dispatchEvent(new CustomEvent(name, { detail, bubbles: true, composed: true }));
}

/** What is done on which event. */
type Handlers = { readonly [N in keyof Details]?: (detail: Details[N]) => void };

class On extends Directive {
  #handlers: Handlers = {};
  readonly #listening = new Set<string>();

  constructor(part: PartInfo) {
    super(part);
    if (part.type !== PartType.ELEMENT) throw new TypeError('`on` stands in the tag of an element.');
  }

  override update({ element }: ElementPart, [handlers]: [Handlers]): unknown {
    for (const name of Object.keys(handlers) as (keyof Details)[]) {
      if (this.#listening.has(name)) continue;
      this.#listening.add(name);
      element.addEventListener(name, (event) => this.#take(name, (event as CustomEvent).detail as never));
    }
    return this.render(handlers);
  }

  render(handlers: Handlers): unknown {
    this.#handlers = handlers;
    return noChange;
  }

  #take<N extends keyof Details>(name: N, detail: Details[N]): void {
    this.#handlers[name]?.(detail);
  }
}

const directed = directive(On);

/** Listens to events of the element in whose tag it stands: `<tn-rig-form ${on({ closed: () => … })}>`. */
export function on(handlers: Handlers): unknown {
  return directed(handlers);
}
