import { LitElement, css, html, nothing } from 'lit';
import { customElement, property } from 'lit/decorators.js';
import type { CheckHead } from '../../record/record-store.ts';
import { baseStyles } from '../shared/base-styles.ts';
import { toneOf, verdictMark, verdictStyles } from '../shared/verdict-look.ts';

/** The checks kept on this device, newest first, each with its verdict and the verdicts of its steps. */
@customElement('tn-past-checks')
export class PastChecks extends LitElement {
  @property({ attribute: false }) checks: readonly CheckHead[] = [];

  static override styles = [
    baseStyles,
    verdictStyles,
    css`
      ul {
        list-style: none;
        margin: 0;
        padding: 0;
      }
      ul.outer > li {
        border-top: 1px solid var(--hair);
      }
      summary {
        text-decoration: none;
        gap: 0.6rem;
      }
      .what {
        flex: 1;
        color: var(--ink);
      }
      .steps {
        padding: 0 0 0.6rem 2.3rem;
      }
    `,
  ];

  override render() {
    if (this.checks.length === 0) return nothing;
    return html`<section aria-label="Past checks">
      <h2>Past checks on this device</h2>
      <ul class="outer">
        ${this.checks.map((head) => this.#check(head))}
      </ul>
    </section>`;
  }

  #check(head: CheckHead) {
    const verdict = head.verdict ?? 'incomplete';
    return html`<li>
      <details>
        <summary class=${toneOf(verdict)}>
          ${verdictMark(verdict)}
          <span class="what"
            ><b>${head.rigName}</b>, ${head.planTitle}<br /><span class="quiet"
              >${new Date(head.startedAt).toLocaleString()}${head.operator === '' ? '' : `, ${head.operator}`}</span
            ></span
          >
          <b>${verdict}</b>
        </summary>
        <ul class="steps">
          ${(head.steps ?? []).map((step) => html`<li>${step.title}: <b>${step.verdict}</b></li>`)}
        </ul>
      </details>
    </li>`;
  }
}

declare global {
  interface HTMLElementTagNameMap {
    'tn-past-checks': PastChecks;
  }
}
