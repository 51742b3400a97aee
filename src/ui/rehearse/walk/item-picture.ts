import { LitElement, css, html, svg } from 'lit';
import { customElement, property } from 'lit/decorators.js';
import type { Drawing, Look } from '../../../rehearsal/pre-trip/drawing.ts';
import { SHEET, type Shape } from '../../../rehearsal/pre-trip/shapes.ts';
import { baseStyles } from '../../shared/base-styles.ts';
import { send } from '../../shared/events.ts';

/** A drawing of an item, and its spots as buttons over it. Sends `spot` with the id of one that is pointed at. */
@customElement('tn-item-picture')
export class ItemPicture extends LitElement {
  @property({ attribute: false }) drawing!: Drawing;
  @property({ attribute: false }) look!: Look;
  /** The spot that is pointed at. */
  @property() pointed = '';

  static override styles = [
    baseStyles,
    css`
      :host {
        position: relative;
        width: 100%;
        max-width: 40rem;
        margin-inline: auto;
        border: var(--edge) solid var(--rule);
        border-radius: 0.5rem;
        background: var(--raised);
      }
      svg {
        display: block;
        width: 100%;
        height: auto;
      }
      path {
        fill: none;
        stroke: var(--ink);
        stroke-width: 3;
        stroke-linejoin: round;
        stroke-linecap: round;
      }
      .thin {
        stroke-width: 1.6;
      }
      .thick {
        stroke-width: 9;
      }
      .dash {
        stroke-dasharray: 6 6;
        stroke-width: 2;
      }
      .part {
        fill: var(--panel);
      }
      .solid {
        fill: var(--ink);
      }
      .wet {
        fill: var(--accent);
        stroke: none;
      }
      .glow {
        fill: var(--here);
      }
      text {
        font-size: 15px;
        font-weight: 600;
        fill: var(--ink);
      }
      button {
        position: absolute;
        min-width: 0;
        min-height: 0;
        padding: 0;
        background: none;
        border: 2px dashed transparent;
        border-radius: 0.4rem;
      }
      button:hover {
        border-color: var(--accent);
      }
      button[aria-pressed='true'] {
        background: none;
        border: 4px solid var(--accent);
      }
    `,
  ];

  override render() {
    const { base, spots } = this.drawing;
    const { width, height } = SHEET;
    const share = (of: number, whole: number): string => `${((100 * of) / whole).toFixed(2)}%`;
    return html`<svg viewBox="0 0 ${width} ${height}" role="img" aria-label="Drawing: ${this.look.seen}">
        ${[...base, ...this.look.shapes].map(drawn)}
      </svg>
      <div role="group" aria-label="Point at a place in the drawing">
        ${Object.entries(spots).map(
          ([id, spot]) =>
            html`<button
              type="button"
              style="left:${share(spot.x, width)};top:${share(spot.y, height)};width:${share(spot.width, width)};height:${share(spot.height, height)}"
              aria-label="Point at ${spot.words}"
              aria-pressed=${id === this.pointed}
              @click=${() => send(this, 'spot', id)}
            ></button>`,
        )}
      </div>`;
  }
}

function drawn(shape: Shape) {
  return 'd' in shape
    ? svg`<path class=${shape.pen} d=${shape.d} />`
    : svg`<text x=${shape.x} y=${shape.y}>${shape.words}</text>`;
}

declare global {
  interface HTMLElementTagNameMap {
    'tn-item-picture': ItemPicture;
  }
}
