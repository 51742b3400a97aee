import { LitElement, css, html, nothing } from 'lit';
import { customElement, property } from 'lit/decorators.js';
import type { AppliedLimit, Figure, FigureName, StepResult, Why } from '../../judging/result.ts';
import { baseStyles } from './base-styles.ts';
import { VERDICT_MARK, figureName, figureText, plainNumber, sourceText } from './words.ts';

/** One verdict: mark, word and reason at a glance; figures, limits, margin and sources behind "why?". */
@customElement('tn-verdict-card')
export class VerdictCard extends LitElement {
  @property() heading = '';
  @property({ attribute: false }) result: StepResult | undefined;

  static override styles = [
    baseStyles,
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
      .mark {
        width: 1.9rem;
        height: 1.9rem;
        display: grid;
        place-items: center;
        border: 2px solid currentColor;
        border-radius: 50%;
        font-weight: 900;
      }
      .fail .mark {
        border-radius: 0.2rem;
        background: var(--fail-ground);
        color: var(--on-fail);
        border-color: var(--fail);
      }
      .word {
        font-weight: 800;
      }
      .pass {
        color: var(--pass);
      }
      .marginal {
        color: var(--marginal);
      }
      .fail {
        color: var(--fail);
      }
      .not {
        color: var(--unjudged);
      }
      .reason {
        color: var(--ink);
      }
      details {
        margin-left: 2.5rem;
      }
      dl {
        display: grid;
        grid-template-columns: auto 1fr;
        gap: 0.15rem 0.8rem;
        margin: 0 0 0.4rem;
      }
      dt {
        font-weight: 600;
      }
      dd {
        margin: 0;
      }
    `,
  ];

  override render() {
    const { result } = this;
    if (result === undefined) return nothing;
    const tone = result.verdict === 'not judged' ? 'not' : result.verdict;
    return html`<div class="top ${tone}">
        <span class="mark" aria-hidden="true">${VERDICT_MARK[result.verdict]}</span>
        <span class="reason"><b>${this.heading}</b><br />${sentence(result.reason)}</span>
        <span class="word">${result.verdict}</span>
      </div>
      <details>
        <summary>Why?<span class="unseen"> ${this.heading}</span></summary>
        <dl>
          ${Object.entries(result.figures).map(([name, figure]) => this.#figure(name as FigureName, figure, result.why?.[name as FigureName]))}
          ${result.limits.map((limit) => this.#limit(limit))}
          ${
            result.margin === undefined
              ? nothing
              : html`<dt>margin</dt>
                  <dd>
                    ${plainNumber(result.margin.value)} ${result.margin.unit} (${figureName(result.margin.figure)})
                  </dd>`
          }
          ${
            result.source === undefined
              ? nothing
              : html`<dt>rests on</dt>
                  <dd>${sourceText(result.source)}</dd>`
          }
          ${
            result.decidingHold === undefined
              ? nothing
              : html`<dt>would decide</dt>
                  <dd>a hold of ${Math.ceil(result.decidingHold)} s</dd>`
          }
          ${(result.missing ?? []).map(
            (line) =>
              html`<dt>not computed</dt>
                <dd>${line}</dd>`,
          )}
        </dl>
      </details>`;
  }

  #figure(name: FigureName, figure: Figure, why: Why | undefined) {
    const also = figure.also === undefined ? '' : ` (${plainNumber(figure.also.value)} ${figure.also.unit})`;
    return html`<dt>${figureName(name)}</dt>
      <dd>
        ${figureText(figure)}${also}
        ${
          why === undefined
            ? nothing
            : html`<br /><span class="quiet"
                  >${why.formula}${why.inputs.length === 0 ? '' : `, with ${why.inputs.map((input) => `${input.name} ${plainNumber(input.value)} ${input.unit}`).join(', ')}`}.
                  ${why.uncertainty}</span
                >`
        }
      </dd>`;
  }

  #limit(limit: AppliedLimit) {
    const bounds = [
      limit.min === undefined
        ? ''
        : `${limit.strict === true ? 'more than' : 'at least'} ${plainNumber(limit.min)} ${limit.unit}`,
      limit.max === undefined
        ? ''
        : `${limit.strict === true ? 'less than' : 'at most'} ${plainNumber(limit.max)} ${limit.unit}`,
    ].filter((part) => part !== '');
    const about = limit.about === true ? 'about ' : '';
    return html`<dt>limit, ${figureName(limit.figure)}</dt>
      <dd>
        ${about}${bounds.join(', ')}${limit.condition === undefined ? '' : `; ${limit.condition}`}<br /><span
          class="quiet"
          >${sourceText(limit.source)}</span
        >
      </dd>`;
  }
}

function sentence(text: string): string {
  return text.charAt(0).toUpperCase() + text.slice(1);
}
