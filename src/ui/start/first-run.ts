import { LitElement, css, html } from 'lit';
import { customElement, property, query, state } from 'lit/decorators.js';
import type { Settings } from '../../running/settings.ts';
import { baseStyles } from '../shared/base-styles.ts';
import { sendUp } from '../shared/events.ts';

/** Offers the tour to whoever has begun no check on this device and has not been asked; hidden from everybody else. */
@customElement('tn-first-run')
export class FirstRun extends LitElement {
  @property({ attribute: false }) settings!: Settings;
  @state() private declined = false;
  @query('p') private line!: HTMLElement;

  static override styles = [
    baseStyles,
    css`
      :host {
        grid-column: 1 / -1;
      }
      section {
        display: flex;
        flex-wrap: wrap;
        align-items: center;
        gap: 0.6rem;
      }
      p {
        flex: 1 1 16rem;
      }
      p:focus {
        outline: none;
      }
    `,
  ];

  protected override firstUpdated(): void {
    // Asked once: choosing a rig does not take the question away under the hand.
    this.hidden = this.settings.toured || this.settings.rigId !== '';
  }

  override render() {
    return html`<section class="panel" aria-label="New here?">
      ${
        this.declined
          ? html`<p tabindex="-1">The tour waits below the demo, in Rehearse and in the guide.</p>`
          : html`<p><b>New here?</b> Two minutes on a simulated rig, with sound or without.</p>
              <button class="main" @click=${this.#take}>Take the tour</button>
              <button @click=${() => void this.#decline()}>Not now</button>`
      }
    </section>`;
  }

  #take(): void {
    sendUp(this, 'settings', { toured: true });
    location.hash = '#rehearse/tour';
  }

  async #decline(): Promise<void> {
    sendUp(this, 'settings', { toured: true });
    this.declined = true;
    await this.updateComplete;
    this.line.focus();
  }
}

declare global {
  interface HTMLElementTagNameMap {
    'tn-first-run': FirstRun;
  }
}
