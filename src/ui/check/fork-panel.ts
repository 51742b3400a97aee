import { LitElement, css, html, nothing } from 'lit';
import { customElement, property, state } from 'lit/decorators.js';
import type { StepResult } from '../../judging/result.ts';
import type { Action, CheckModel } from '../../running/check-model.ts';
import { baseStyles } from '../shared/base-styles.ts';
import { send, sendUp } from '../shared/events.ts';

/** The fork after a fail: measure again, stop and keep the defect, or go on without moving the rig. Calling what comes next goes on, too. */
@customElement('tn-fork-panel')
export class ForkPanel extends LitElement {
  @property({ attribute: false }) failed: CheckModel['fork'];
  @property({ type: Boolean, reflect: true }) asking = false;
  /** The fail after which the operator goes on, and has called nothing yet. */
  @state() private passed: StepResult | undefined;

  static override styles = [
    baseStyles,
    css`
      :host(:not([asking])) {
        display: none;
      }
      .fork {
        background: var(--question-ground);
        border: 3px solid var(--fail);
        border-radius: 0.75rem;
        padding: 0.8rem;
        display: grid;
        gap: 0.5rem;
      }
      h2 {
        font-size: 1.25rem;
        color: var(--fail);
      }
      .ways {
        display: grid;
        grid-template-columns: repeat(auto-fit, minmax(min(100%, 6.4rem), 1fr));
        gap: 0.5rem;
      }
      .ways button {
        min-height: 3.6rem;
        padding-inline: 0.3rem;
      }
    `,
  ];

  protected override willUpdate(): void {
    this.asking = this.failed !== undefined && this.failed.result !== this.passed;
  }

  override render() {
    if (this.failed === undefined || !this.asking) return nothing;
    const { title } = this.failed;
    return html`<section class="fork" aria-label="After the fail">
      <h2 tabindex="-1" aria-describedby="what">${title} failed</h2>
      <p id="what">Do not move the rig: the tests that would are left out.</p>
      <div class="ways">
        <button @click=${() => this.#command('go-back')}>Measure again<span class="unseen">: ${title}</span></button>
        <button @click=${() => this.#command('stop-check')}>Stop, keep the defect</button>
        <button class="main" @click=${() => this.#goOn()}>Go on without moving</button>
      </div>
    </section>`;
  }

  /** A new fail is told before anything else. */
  protected override updated(): void {
    if (!this.asking || this.failed?.result === this.#told) return;
    this.#told = this.failed?.result;
    this.renderRoot.querySelector<HTMLElement>('h2')?.focus();
  }

  #told: StepResult | undefined;

  #goOn(): void {
    this.passed = this.failed?.result;
    send(this, 'closed');
  }

  #command(command: Extract<Action, { do: 'command' }>['command']): void {
    sendUp(this, 'act', { action: { do: 'command', command }, source: 'touch' });
  }
}

declare global {
  interface HTMLElementTagNameMap {
    'tn-fork-panel': ForkPanel;
  }
}
