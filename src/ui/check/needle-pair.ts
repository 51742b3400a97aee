import { LitElement, css, html } from 'lit';
import { customElement, property } from 'lit/decorators.js';
import type { SpokenReading } from '../../grammar/meaning.ts';
import type { Pressure, PressureUnit } from '../../units/pressure.ts';
import { pressureIn } from '../../units/pressure.ts';
import { baseStyles } from '../shared/base-styles.ts';
import { plainNumber } from '../../answering/written.ts';

/** The two numerals, each over a scale from 0 to 160 psi with its needle: solid for primary, split for secondary. */
@customElement('tn-needle-pair')
export class NeedlePair extends LitElement {
  @property({ attribute: false }) needles: SpokenReading = {};
  @property() unit: PressureUnit = 'psi';

  static override styles = [
    baseStyles,
    css`
      .pair {
        display: grid;
        grid-template-columns: 1fr 1fr;
        gap: 0.6rem;
      }
      .needle {
        min-width: 0;
        border: var(--edge) solid var(--rule);
        border-radius: 0.75rem;
        padding: 6px 11px 9px;
        background: var(--panel);
      }
      .name {
        display: flex;
        justify-content: space-between;
        gap: 0.2rem;
        font-size: min(1rem, 5vw);
        font-weight: 700;
      }
      .figure {
        display: flex;
        align-items: center;
        /* Huge already: larger text is for what is small. */
        height: clamp(56px, 17vw, 104px);
        font-size: clamp(54px, 17vw, 104px);
        line-height: 1;
        font-weight: 800;
        font-variant-numeric: tabular-nums;
        letter-spacing: -0.03em;
        white-space: nowrap;
      }
      .figure.long {
        font-size: clamp(43px, 13vw, 104px);
      }
      .none {
        font-size: 35px;
        color: var(--quiet);
      }
      .scale {
        display: block;
        position: relative;
        height: 1.1rem;
        margin-top: 0.3rem;
        border-bottom: 2px solid var(--hair);
        background: repeating-linear-gradient(90deg, var(--hair) 0 2px, transparent 2px 12.35%);
        background-size: 100% 0.4rem;
        background-position: bottom;
        background-repeat: no-repeat;
      }
      .mark {
        position: absolute;
        bottom: 0;
        width: 0.45rem;
        height: 1.1rem;
        margin-left: -0.22rem;
        border-radius: 0.2rem 0.2rem 0 0;
        transition: left 0.4s;
      }
      .primary .mark {
        background: var(--primary-needle);
      }
      .secondary .mark {
        background: repeating-linear-gradient(0deg, var(--secondary-needle) 0 0.28rem, transparent 0.28rem 0.42rem);
      }
    `,
  ];

  override render() {
    return html`<div class="pair">
      ${this.#needle('primary', this.needles.primary)}${this.#needle('secondary', this.needles.secondary)}
    </div>`;
  }

  #needle(name: 'primary' | 'secondary', pressure: Pressure | undefined) {
    const value = pressure === undefined ? undefined : pressureIn(pressure, this.unit);
    const place = pressure === undefined ? undefined : Math.min(100, (pressureIn(pressure, 'psi') / 160) * 100);
    return html`<div class="needle ${name}">
      <span class="name"><span>${name === 'primary' ? 'Primary' : 'Secondary'}</span><span>${this.unit}</span></span>
      <span class="figure ${value === undefined ? 'none' : plainNumber(value).length > 3 ? 'long' : ''}"
        >${value === undefined ? html`<span aria-hidden="true">– –</span><span class="unseen">not called yet</span>` : plainNumber(value)}</span
      >
      <span class="scale" aria-hidden="true"
        >${place === undefined ? '' : html`<span class="mark" style="left:${place}%"></span>`}</span
      >
    </div>`;
  }
}

declare global {
  interface HTMLElementTagNameMap {
    'tn-needle-pair': NeedlePair;
  }
}
