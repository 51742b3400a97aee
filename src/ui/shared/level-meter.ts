import { LitElement, css, html } from 'lit';
import { customElement, property } from 'lit/decorators.js';
import type { SoundReport } from '../../hearing/sound-watch.ts';
import { baseStyles } from './base-styles.ts';

/** The span of the meter, in dB below full scale. */
const FLOOR_DB = -72;

/** As much of how the sound is as the meter shows. */
type MeteredSound = Pick<SoundReport, 'level'> & Partial<Pick<SoundReport, 'floor' | 'clipped'>>;

/** Level of the microphone with a tick at the noise floor. `compact` leaves the words to the place that shows it. */
@customElement('tn-level-meter')
export class LevelMeter extends LitElement {
  @property({ attribute: false }) sound: MeteredSound | undefined;
  @property({ type: Boolean, reflect: true }) compact = false;

  static override styles = [
    baseStyles,
    css`
      .track {
        position: relative;
        height: 1.6rem;
        border: 2px solid var(--rule);
        border-radius: 0.3rem;
        overflow: hidden;
        background: var(--raised);
      }
      :host([compact]) .track {
        height: 0.6rem;
        border-width: 1px;
      }
      .fill {
        position: absolute;
        inset: 0;
        background: var(--accent);
        transform-origin: left;
      }
      .clipping .fill {
        background: repeating-linear-gradient(90deg, var(--fail) 0 0.5rem, transparent 0.5rem 0.7rem);
      }
      .floor {
        position: absolute;
        inset-block: 0;
        width: 3px;
        background: var(--ink);
      }
    `,
  ];

  override render() {
    const { sound } = this;
    const level = place(sound?.level ?? FLOOR_DB);
    const words =
      sound === undefined
        ? 'no sound yet'
        : sound.clipped === true
          ? 'too loud, clipping'
          : `${Math.round(sound.level)} dB${sound.floor === undefined ? '' : `, noise floor ${Math.round(sound.floor)} dB`}`;
    return html`<div
      class="track ${sound?.clipped === true ? 'clipping' : ''}"
      role="meter"
      aria-label="Microphone level"
      aria-valuemin="0"
      aria-valuemax="100"
      aria-valuenow=${Math.round(level * 100)}
      aria-valuetext=${words}
    >
      <div class="fill" style="transform:scaleX(${level})"></div>
      ${sound?.floor === undefined ? '' : html`<div class="floor" style="left:${place(sound.floor) * 100}%"></div>`}
    </div>`;
  }
}

function place(db: number): number {
  return Math.min(1, Math.max(0, (db - FLOOR_DB) / -FLOOR_DB));
}

declare global {
  interface HTMLElementTagNameMap {
    'tn-level-meter': LevelMeter;
  }
}
