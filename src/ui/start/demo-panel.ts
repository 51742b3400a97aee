import { LitElement, css, html } from 'lit';
import { customElement, property } from 'lit/decorators.js';
import { baseStyles } from '../shared/base-styles.ts';
import { sendUp } from '../shared/events.ts';
import { liveRegion } from '../shared/live-region.ts';

/** The demo, the tour, the guide and the card: what somebody wants who does not know the tool. */
@customElement('tn-demo')
export class DemoPanel extends LitElement {
  /** Why the demo cannot be heard; empty while it can. */
  @property() problem = '';

  static override styles = [
    baseStyles,
    css`
      section {
        display: grid;
        gap: 0.6rem;
      }
      a {
        color: inherit;
      }
    `,
  ];

  override render() {
    return html`<section aria-label="Demo">
      <h2>Hear a demo check</h2>
      <p>
        A made-up operator finds a leak: two voices, about a minute and a half, with sound, also offline. What you see
        is what the tool hears and measures.
      </p>
      ${liveRegion('status', this.problem)}
      <button @click=${() => sendUp(this, 'demo')}>Hear a demo check</button>
      <p>
        <a href="#rehearse/tour">A two-minute tour</a>, <a href="guide/index.html">the guide</a>, and
        <a href="guide/card.html">a card of what one can say</a>, to print
      </p>
    </section>`;
  }
}

declare global {
  interface HTMLElementTagNameMap {
    'tn-demo': DemoPanel;
  }
}
