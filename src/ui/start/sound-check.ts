import { LitElement, css, html, nothing } from 'lit';
import { customElement, property } from 'lit/decorators.js';
import type { SoundReport } from '../../hearing/sound-watch.ts';
import type { Pulse } from '../../running/pulse.ts';
import { baseStyles } from '../shared/base-styles.ts';
import { eachBeat } from '../shared/each-beat.ts';
import '../shared/level-meter.ts';
import type { StartModel } from './start-model.ts';
import { sendUp } from '../shared/events.ts';

/** Below this the numbers of the bench fall off steeply, so speaking closer or push-to-talk is worth a word. */
const GOOD_SNR_DB = 15;

/** Tries the microphone before a check: level, noise floor, how far speech stands out, clipping. */
@customElement('tn-sound-check')
export class SoundCheck extends LitElement {
  @property() state: StartModel['soundCheck'] = 'idle';
  @property() earLine = '';
  @property({ attribute: false }) sound!: Pulse<SoundReport | undefined>;

  static override styles = [
    baseStyles,
    css`
      section {
        display: grid;
        gap: 0.5rem;
      }
      .advice {
        font-weight: 700;
        min-height: 1.4em;
      }
    `,
  ];

  override render() {
    const running = this.state !== 'idle';
    return html`<section aria-label="Sound check">
      <h2>Sound check</h2>
      <p>${this.earLine}</p>
      ${this.state === 'running' ? eachBeat(this.sound, meter) : nothing}
      <p class="advice" aria-live="polite">${this.state === 'running' ? eachBeat(this.sound, advice) : nothing}</p>
      <div>
        <button ?disabled=${this.state === 'starting'} @click=${() => sendUp(this, 'sound-check', !running)}>
          ${running ? (this.state === 'starting' ? 'Starting…' : 'Stop the sound check') : 'Try the microphone'}
        </button>
      </div>
    </section>`;
  }
}

function meter(sound: SoundReport | undefined) {
  return html`<tn-level-meter .sound=${sound}></tn-level-meter> ${
      sound === undefined
        ? nothing
        : html`<p class="quiet">
            Level ${decibels(sound.level)}, noise floor ${decibels(sound.floor)}; speech stands out by
            ${decibels(sound.snr)}.
          </p>`
    }`;
}

function decibels(value: number): string {
  return `${String(Math.round(value)).replace('-', '−')} dB`;
}

function advice(sound: SoundReport | undefined): string {
  if (sound === undefined) return 'Say “primary one two five” as you would in the cab.';
  if (sound.clipped) return 'Too loud: the sound is cut off at the top. Move the microphone away a little.';
  if (sound.snr >= GOOD_SNR_DB) return 'Speech stands out well.';
  return 'Say “primary one two five”. If speech does not stand out by 15 dB, come closer or use push-to-talk.';
}

declare global {
  interface HTMLElementTagNameMap {
    'tn-sound-check': SoundCheck;
  }
}
