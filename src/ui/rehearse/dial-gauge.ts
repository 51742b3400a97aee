import { LitElement, css, html, svg } from 'lit';
import { customElement, property } from 'lit/decorators.js';
import type { PressureUnit } from '../../units/pressure.ts';
import { pressureIn } from '../../units/pressure.ts';
import { baseStyles } from '../shared/base-styles.ts';
import { plainNumber } from '../shared/words.ts';
import { FACES, angleOf, marksOf, pointAt, readOff } from './dial.ts';
import type { Face, Mark } from './dial.ts';

const RIM = 96;
const MARK_END: Record<Mark['kind'], number> = { small: 89, long: 85, number: 82 };
const NUMBERS_AT = 64;

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
      svg {
        display: block;
        width: 100%;
        height: auto;
        overflow: visible;
      }
      .face {
        fill: var(--raised);
        stroke: var(--ink);
        stroke-width: 2.5;
      }
      .mark {
        stroke: var(--ink);
        stroke-width: 1;
      }
      .long {
        stroke-width: 2;
      }
      .number {
        stroke-width: 3;
      }
      text {
        fill: var(--ink);
        text-anchor: middle;
        font-size: 17px;
        font-weight: 700;
        font-variant-numeric: tabular-nums;
      }
      .name {
        font-size: 16px;
      }
      .unit {
        font-size: 14px;
        font-weight: 500;
        fill: var(--quiet);
      }
      .needle {
        transition: transform 60ms linear;
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
    return html`<svg
      viewBox="-100 -100 200 200"
      class=${this.circuit}
      role="meter"
      aria-label="${name} gauge"
      aria-valuemin="0"
      aria-valuemax=${face.max}
      aria-valuenow=${Math.min(face.max, value)}
      aria-valuetext="${plainNumber(value)} ${this.unit}"
    >
      <circle class="face" r=${RIM} />
      ${marksOf(face).map((mark) => markAt(mark, face))}
      <text class="name" y="43">${name}</text>
      <text class="unit" y="63">${this.unit}</text>
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

function markAt({ value, kind }: Mark, face: Face) {
  const angle = angleOf(value, face);
  const from = pointAt(angle, RIM - 1);
  const to = pointAt(angle, MARK_END[kind]);
  const label = pointAt(angle, NUMBERS_AT);
  return svg`<line class="mark ${kind}" x1=${from.x} y1=${from.y} x2=${to.x} y2=${to.y} />${
    kind === 'number' ? svg`<text x=${label.x} y=${label.y + 6}>${value}</text>` : ''
  }`;
}
