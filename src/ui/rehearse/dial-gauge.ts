import { LitElement, css, html, svg } from 'lit';
import { customElement, property } from 'lit/decorators.js';
import type { PressureUnit } from '../../units/pressure.ts';
import { pressureIn } from '../../units/pressure.ts';
import { baseStyles } from '../shared/base-styles.ts';
import { plainNumber } from '../../answering/written.ts';
import './dial-face.ts';
import { FACES, angleOf, readOff } from './dial.ts';

/** One air gauge. Its needle says what a needle says: there is no numeral to read. A screen reader is told the value. */
@customElement('tn-dial-gauge')
export class DialGauge extends LitElement {
  @property() circuit: 'primary' | 'secondary' = 'primary';
  /** Where the needle stands. */
  @property({ type: Number }) psi = 0;
  @property() unit: PressureUnit = 'psi';
  /** Smallest step that is read, in the unit. */
  @property({ type: Number }) resolution = 1;

  static override styles = [
    baseStyles,
    css`
      :host {
        position: relative;
      }
      svg {
        position: absolute;
        inset: 0;
        width: 100%;
        height: 100%;
        overflow: visible;
      }
      /* Marks and numbers lie over the needle: it must not hide the number that it points at. */
      tn-dial-face {
        position: relative;
        z-index: 1;
      }
      .ground {
        fill: var(--raised);
      }
      .needle {
        /* As long as it is to the next picture. */
        transition: transform 110ms linear;
      }
      .primary .blade {
        fill: var(--primary-needle);
      }
      .secondary .blade {
        fill: none;
        stroke: var(--secondary-needle);
        stroke-width: 3.4;
        stroke-linejoin: round;
      }
      .hub {
        fill: var(--ink);
      }
    `,
  ];

  override render() {
    const face = FACES[this.unit];
    const value = readOff(this.psi, this.unit, this.resolution);
    const angle = angleOf(pressureIn({ value: this.psi, unit: 'psi' }, this.unit), face);
    const name = this.circuit === 'primary' ? 'Primary' : 'Secondary';
    return html`<tn-dial-face unit=${this.unit} name=${name}></tn-dial-face>
      <svg
        viewBox="-100 -100 200 200"
        class=${this.circuit}
        role="meter"
        aria-label="${name} gauge"
        aria-valuemin="0"
        aria-valuemax=${face.max}
        aria-valuenow=${Math.min(face.max, value)}
        aria-valuetext="${plainNumber(value)} ${this.unit}"
      >
        <circle class="ground" r="96" />
        <g class="needle" style="transform:rotate(${angle}deg)">
          ${
            this.circuit === 'primary'
              ? svg`<path class="blade" d="M-4.5 20 L-4.5 -30 L-1 -88 L1 -88 L4.5 -30 L4.5 20 Z" />`
              : svg`<path class="blade" d="M-4.5 20 L-4.5 -44 L0 -88 L4.5 -44 L4.5 20" />`
          }
        </g>
        <circle class="hub" r="8" />
      </svg>`;
  }
}

declare global {
  interface HTMLElementTagNameMap {
    'tn-dial-gauge': DialGauge;
  }
}
