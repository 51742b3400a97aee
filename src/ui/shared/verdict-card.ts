import { LitElement, css, html, nothing } from 'lit';
import { customElement, property } from 'lit/decorators.js';
import type { AppliedLimit, FigureName, StepResult } from '../../judging/result.ts';
import { conditionLine } from '../../judging/wording.ts';
import { baseStyles } from './base-styles.ts';
import { limitRows, whyFigure } from './why-figure.ts';
import { toneOf, verdictMark, verdictStyles } from './verdict-look.ts';
import { sourceText } from './words.ts';

/** One verdict: mark, word and reason at a glance; figures, limits, margin and sources behind "why?". */
@customElement('tn-verdict-card')
export class VerdictCard extends LitElement {
  @property() heading = '';
  @property({ attribute: false }) result: StepResult | undefined;
  /** Whom the limits bind, and what comes before them. */
  @property() applicability = '';

  static override styles = [
    baseStyles,
    verdictStyles,
    css`
      :host {
        border-top: 1px solid var(--hair);
        padding: 0.45rem 0;
      }
      .top {
        display: grid;
        grid-template-columns: 2rem 1fr auto;
        gap: 0.5rem;
        align-items: start;
      }
      .word {
        font-weight: 800;
      }
      .reason {
        color: var(--ink);
      }
      details {
        margin-left: 2.5rem;
        overflow-wrap: anywhere;
      }
      .applies {
        color: var(--quiet);
        margin-bottom: 0.4rem;
      }
      details section {
        border-top: 1px solid var(--hair);
        padding: 0.3rem 0;
      }
      h3 {
        font-size: 1rem;
      }
      .name::first-letter {
        text-transform: uppercase;
      }
      .name {
        display: inline-block;
        font-weight: 600;
      }
      dl {
        display: grid;
        grid-template-columns: minmax(5.6rem, auto) 1fr;
        gap: 0.15rem 0.8rem;
        margin: 0 0 0.4rem;
      }
      /* Name over value where there is no room for them side by side. */
      :host {
        container-type: inline-size;
      }
      @container (max-width: 24rem) {
        dl {
          grid-template-columns: minmax(0, 1fr);
        }
        .top {
          grid-template-columns: 2rem minmax(0, 1fr);
          row-gap: 0;
        }
        .word {
          grid-column: 2;
        }
      }
      dt {
        color: var(--quiet);
      }
      dd {
        margin: 0;
      }
    `,
  ];

  override render() {
    const { result } = this;
    if (result === undefined) return nothing;
    return html`<div class="top ${toneOf(result.verdict)}">
        ${verdictMark(result.verdict)}
        <span class="reason"><b>${this.heading}</b><br />${sentence(result.reason)}</span>
        <span class="word">${result.verdict}</span>
      </div>
      <details>
        <summary>Why?<span class="unseen"> ${this.heading}</span></summary>
        ${this.applicability === '' ? nothing : html`<p class="applies">${this.applicability}</p>`}
        ${Object.entries(result.figures).map(([name, figure]) => whyFigure(name as FigureName, figure, result.why?.[name as FigureName]))}
        <dl>
          ${result.limits.filter((limit) => !isShown(result, limit)).map(limitRows)}
          ${
            result.source === undefined
              ? nothing
              : html`<dt>Rests on</dt>
                  <dd>${sourceText(result.source)}</dd>`
          }
          ${
            result.decidingHold === undefined
              ? nothing
              : html`<dt>Would decide</dt>
                  <dd>a hold of ${Math.ceil(result.decidingHold)} s</dd>`
          }
          ${(result.conditions ?? []).map(
            (condition) =>
              html`<dt>Condition</dt>
                <dd>${conditionLine(condition)} (${sourceText(condition.source)})</dd>`,
          )}
          ${(result.flags ?? []).map(
            (flag) =>
              html`<dt>Flagged</dt>
                <dd>${flag}</dd>`,
          )}
          ${(result.missing ?? []).map(
            (line) =>
              html`<dt>Not computed</dt>
                <dd>${line}</dd>`,
          )}
        </dl>
      </details>`;
  }
}

function sentence(text: string): string {
  return text.charAt(0).toUpperCase() + text.slice(1);
}

/** True when the limit stands with its figure. */
function isShown(result: StepResult, limit: AppliedLimit): boolean {
  return result.why?.[limit.figure] !== undefined && result.figures[limit.figure] !== undefined;
}

declare global {
  interface HTMLElementTagNameMap {
    'tn-verdict-card': VerdictCard;
  }
}
