import { LitElement, css, html, svg } from 'lit';
import { customElement, property } from 'lit/decorators.js';
import type { PressureUnit } from '../../units/pressure.ts';
import { FACES, angleOf, marksOf, pointAt } from './dial.ts';
import type { Face, Mark } from './dial.ts';

const RIM = 96;
const MARK_END: Record<Mark['kind'], number> = { small: 89, long: 85, number: 82 };
const NUMBERS_AT = 64;

/** What does not move on a dial. By itself, so that it is drawn once and not with every move of the needle. */
@customElement('tn-dial-face')
export class DialFace extends LitElement {
  @property() unit: PressureUnit = 'psi';
  @property() name = '';

  static override styles = css`
    :host {
      display: block;
    }
    svg {
      display: block;
      width: 100%;
      height: auto;
      overflow: visible;
    }
    .face {
      fill: none;
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
    .value {
      stroke: var(--raised);
      stroke-width: 4;
      stroke-linejoin: round;
      paint-order: stroke;
    }
    .name {
      font-size: 16px;
    }
    .unit {
      font-size: 14px;
      font-weight: 500;
      fill: var(--quiet);
    }
  `;

  override render() {
    const face = FACES[this.unit];
    return html`<svg viewBox="-100 -100 200 200" aria-hidden="true">
      <circle class="face" r=${RIM} />
      ${marksOf(face).map((mark) => markAt(mark, face))}
      <text class="name" y="43">${this.name}</text>
      <text class="unit" y="63">${this.unit}</text>
    </svg>`;
  }
}

function markAt({ value, kind }: Mark, face: Face) {
  const angle = angleOf(value, face);
  const from = pointAt(angle, RIM - 1);
  const to = pointAt(angle, MARK_END[kind]);
  const label = pointAt(angle, NUMBERS_AT);
  return svg`<line class="mark ${kind}" x1=${from.x} y1=${from.y} x2=${to.x} y2=${to.y} />${
    kind === 'number' ? svg`<text class="value" x=${label.x} y=${label.y + 6}>${value}</text>` : ''
  }`;
}

declare global {
  interface HTMLElementTagNameMap {
    'tn-dial-face': DialFace;
  }
}
