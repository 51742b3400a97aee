import { LitElement, css, html, nothing } from 'lit';
import { customElement, property } from 'lit/decorators.js';
import { baseStyles } from '../shared/base-styles.ts';
import { clockText } from '../shared/words.ts';
import type { CheckModel } from '../../running/check-model.ts';

/** The one time bar: a hold runs down to its call for the needles, a window counts up. */
@customElement('tn-time-bar')
export class TimeBar extends LitElement {
  @property({ attribute: false }) bar: CheckModel['bar'];
  @property({ type: Number }) now = 0;

  static override styles = [
    baseStyles,
    css`
      .line {
        display: flex;
        justify-content: space-between;
        align-items: baseline;
        font-weight: 700;
      }
      .seconds {
        font-size: clamp(35px, 2.2rem, 52px);
        line-height: 1.1;
        font-variant-numeric: tabular-nums;
        white-space: nowrap;
      }
      .track {
        display: var(--track, block);
        height: 1.1rem;
        border: 2px solid var(--rule);
        border-radius: 0.3rem;
        overflow: hidden;
        background: var(--raised);
      }
      .fill {
        height: 100%;
        background: var(--accent);
        transform-origin: left;
      }
      .open .fill {
        background: repeating-linear-gradient(60deg, var(--accent) 0 0.6rem, transparent 0.6rem 0.9rem);
      }
    `,
  ];

  override render() {
    if (this.bar === undefined) return nothing;
    const { kind, start, due } = this.bar;
    const passed = Math.max(0, this.now - start);
    if (kind === 'window' || due === undefined) {
      return html`<div class="open">
        <div class="line">
          <span>Timing the build-up</span><span class="seconds" role="timer">${(passed / 1000).toFixed(1)} s</span>
        </div>
        <div class="track" aria-hidden="true"><div class="fill"></div></div>
      </div>`;
    }
    const left = due - this.now;
    const fraction = Math.min(1, passed / Math.max(1, due - start));
    const line = left > 0 ? 'Hold: watch both needles' : 'Call both needles now';
    return html`<div class="line">
        <span aria-live="polite">${line}</span
        ><span class="seconds" role="timer">${left > 0 ? `${Math.ceil(left / 1000)} s` : clockText(passed)}</span>
      </div>
      <div
        class="track"
        role="progressbar"
        aria-label="Hold"
        aria-valuemin="0"
        aria-valuemax="100"
        aria-valuenow=${Math.round(fraction * 100)}
      >
        <div class="fill" style="transform:scaleX(${fraction})"></div>
      </div>`;
  }
}

declare global {
  interface HTMLElementTagNameMap {
    'tn-time-bar': TimeBar;
  }
}
