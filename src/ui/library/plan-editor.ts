import { css, html, nothing } from 'lit';
import { customElement, property, state } from 'lit/decorators.js';
import { live } from 'lit/directives/live.js';
import { repeat } from 'lit/directives/repeat.js';
import type { Plan } from '../../check/plan.ts';
import { baseStyles } from '../shared/base-styles.ts';
import { DraftEditor } from './draft-editor.ts';
import type { Drafting } from './drafting.ts';
import { editorField, numberIn } from './editor-field.ts';
import { editorStyles } from './editor-styles.ts';
import { HOLD_SECONDS, PlanChanges, planOf } from './plan-draft.ts';
import type { PlanDraft, StepText } from './plan-draft.ts';
import { remarksOn } from './plan-order.ts';
import { liveRegion } from '../shared/live-region.ts';

const TEXTS: readonly (readonly [StepText, string, 'line' | 'area'])[] = [
  ['title', 'Name of the step', 'line'],
  ['brief', 'Spoken when it begins', 'area'],
  ['instruction', 'Shown on the screen', 'area'],
  ['caution', 'Caution', 'area'],
];

/** Changes a plan. Sends `saved` with the plan, always a valid one, or `closed` when it is discarded. */
@customElement('tn-plan-editor')
export class PlanEditor extends DraftEditor<PlanDraft> {
  @property({ attribute: false }) knownCues!: ReadonlySet<string>;
  @state() private refusedStep = '';

  static override styles = [
    baseStyles,
    editorStyles,
    css`
      ol {
        list-style: none;
        margin: 0;
        padding: 0;
      }
      li {
        border-top: 1px solid var(--hair);
        padding: 0.3rem 0;
      }
      .head {
        display: flex;
        align-items: center;
        gap: 0.4rem;
      }
      .head .tick {
        flex: 1;
        min-width: 0;
        font-weight: 700;
      }
      .off .tick span {
        font-weight: 400;
        color: var(--quiet);
        text-decoration: line-through;
      }
      .number {
        font-variant-numeric: tabular-nums;
      }
      details {
        margin-left: 2rem;
      }
    `,
  ];

  override render() {
    const { drafting } = this;
    const { current } = drafting;
    const changes = new PlanChanges(this.knownCues);
    return html`${editorField(drafting, {
        name: 'plan-title',
        label: 'Title of the plan',
        value: current.title,
        change: (draft, text) => changes.retitle(draft, text),
      })}
      ${remarksOn(planOf(current)).map((line) => html`<p class="remark">${line}</p>`)}
      <div>
        <h3>Steps</h3>
        <p class="quiet">Ticked steps are in the plan, from top to bottom.</p>
        <p class="unseen" role="status">${this.said}</p>
        <ol>
          ${repeat(
            current.steps,
            ({ step }) => step.id,
            (_, index) => this.#step(drafting, changes, index),
          )}
        </ol>
      </div>
      ${this.footOf(drafting)}`;
  }

  #step(drafting: Drafting<PlanDraft>, changes: PlanChanges, index: number) {
    const { steps } = drafting.current;
    const each = steps[index];
    if (each === undefined) return nothing;
    const { step, on } = each;
    const arrow = (by: -1 | 1, sign: string, words: string) =>
      html`<button
        data-by=${by}
        aria-disabled=${steps[index + by] === undefined ? 'true' : 'false'}
        @click=${() => this.#move(drafting, changes, index, by)}
      >
        <span aria-hidden="true">${sign}</span><span class="unseen">Move ${step.title} ${words}</span>
      </button>`;
    return html`<li data-step=${step.id} class=${on ? '' : 'off'}>
      <div class="head">
        <label class="tick"
          ><input
            type="checkbox"
            .checked=${live(on)}
            @change=${(event: Event) => this.#switch(drafting, changes, index, (event.target as HTMLInputElement).checked)}
          /><span>${step.title}</span></label
        >
        ${arrow(-1, '↑', 'up')} ${arrow(1, '↓', 'down')}
      </div>
      ${liveRegion('alert', this.refusedStep === step.id ? this.said : '', { look: 'why-not' })}
      <details>
        <summary>Texts${lengthOf(step)}<span class="unseen"> of ${step.title}</span></summary>
        <div class="more">
          ${this.#numbers(drafting, changes, index)}
          ${TEXTS.map(([key, label, kind]) =>
            editorField(drafting, {
              name: `${step.id}-${key}`,
              label,
              value: step[key] ?? '',
              kind,
              change: (draft, text) => changes.setText(draft, index, key, text),
            }),
          )}
        </div>
      </details>
    </li>`;
  }

  #numbers(drafting: Drafting<PlanDraft>, changes: PlanChanges, index: number) {
    const step = drafting.current.steps[index]?.step;
    if (step?.holdSeconds !== undefined) {
      return html`${editorField(drafting, {
          name: `${step.id}-hold`,
          label: 'Length of the hold',
          value: String(step.holdSeconds),
          kind: 'number',
          unit: `seconds, ${String(HOLD_SECONDS.least)} to ${String(HOLD_SECONDS.most)}`,
          change: (draft, text) => changes.setHold(draft, index, numberIn(text)),
        })}
        <p class="quiet">A hold shorter than the limits ask for is not judged; most ask for 60 seconds.</p>`;
    }
    if (step?.from === undefined || step.to === undefined) return nothing;
    const ends = [
      ['from', 'Window from', step.from],
      ['to', 'Window to', step.to],
    ] as const;
    return html`<div class="pair">
      ${ends.map(([end, label, { value, unit }]) =>
        editorField(drafting, {
          name: `${step.id}-${end}`,
          label,
          value: String(value),
          kind: 'number',
          unit,
          change: (draft, text) => changes.setEnd(draft, index, end, numberIn(text)),
        }),
      )}
    </div>`;
  }

  #move(drafting: Drafting<PlanDraft>, changes: PlanChanges, index: number, by: -1 | 1): void {
    const step = drafting.current.steps[index]?.step;
    if (step === undefined) return;
    const refused = drafting.take(changes.move(drafting.current, index, by));
    this.#say(step.id, refused, `${step.title} is now number ${String(index + by + 1)} of the list.`);
    // Moving an element takes its focus away.
    void this.updateComplete.then(() =>
      this.renderRoot.querySelector<HTMLElement>(`[data-step="${step.id}"] [data-by="${String(by)}"]`)?.focus(),
    );
  }

  #switch(drafting: Drafting<PlanDraft>, changes: PlanChanges, index: number, on: boolean): void {
    const step = drafting.current.steps[index]?.step;
    if (step === undefined) return;
    const refused = drafting.take(changes.switchStep(drafting.current, index, on));
    this.#say(step.id, refused, `${step.title} is ${on ? 'in' : 'out of'} the plan.`);
  }

  #say(step: string, refused: string | undefined, done: string): void {
    this.said = refused ?? done;
    this.refusedStep = refused === undefined ? '' : step;
  }

  protected override undo(): void {
    super.undo();
    this.refusedStep = '';
  }

  protected override finished(draft: PlanDraft): Plan {
    return planOf(draft);
  }
}

function lengthOf({ holdSeconds, from, to }: Plan['steps'][number]): string {
  if (holdSeconds !== undefined) return ` and length (${String(holdSeconds)} s)`;
  return from === undefined || to === undefined
    ? ''
    : ` and window (${String(from.value)} to ${String(to.value)} ${to.unit})`;
}

declare global {
  interface HTMLElementTagNameMap {
    'tn-plan-editor': PlanEditor;
  }
}
