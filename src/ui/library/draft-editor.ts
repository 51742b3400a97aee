import { LitElement, html } from 'lit';
import type { TemplateResult } from 'lit';
import { property, query, state } from 'lit/decorators.js';
import type { Plan } from '../../check/plan.ts';
import type { LimitProfile } from '../../judging/profile.ts';
import { Drafting } from './drafting.ts';
import type { EditorFoot } from './editor-foot.ts';
import './editor-foot.ts';
import { showFirstRefused } from './show-first-refused.ts';
import { on, send } from '../shared/events.ts';

/** What the editors share: a draft with the way back, and Save, Undo and Discard. Sends `saved`, or `closed` when it is discarded. */
export abstract class DraftEditor<D> extends LitElement {
  /** What to begin with; later changes of it are not looked at. */
  @property({ attribute: false }) draft!: D;
  /** What the last change did, or why it did nothing. */
  @state() protected said = '';
  @query('tn-editor-foot') private foot!: EditorFoot;
  #drafting: Drafting<D> | undefined;

  protected get drafting(): Drafting<D> {
    return (this.#drafting ??= new Drafting(this, this.draft));
  }

  /** What is sent with `saved`. */
  protected abstract finished(draft: D): Plan | LimitProfile;

  /** What is odd of it, in one sentence each: asked about before it is saved. */
  protected doubts(draft: D): readonly string[];
  protected doubts(): readonly string[] {
    return [];
  }

  /** Leaves the editor, after asking when there are changes. */
  discard(): void {
    this.foot.discard();
  }

  protected footOf({ changed, refusals, current }: Drafting<D>): TemplateResult {
    return html`<tn-editor-foot
      class="foot"
      .changed=${changed || refusals.size > 0}
      .doubts=${this.doubts(current)}
      ${on({ save: () => this.#save(), undo: () => this.undo(), discard: () => send(this, 'closed') })}
    ></tn-editor-foot>`;
  }

  protected undo(): void {
    this.drafting.undo();
    this.said = 'The last change is taken back.';
  }

  #save(): void {
    const { refusals, current } = this.drafting;
    if (refusals.size > 0) showFirstRefused(this.renderRoot);
    else send(this, 'saved', this.finished(current));
  }
}
