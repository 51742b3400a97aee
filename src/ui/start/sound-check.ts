import { LitElement, css, html, nothing, type TemplateResult } from 'lit';
import { customElement, property } from 'lit/decorators.js';
import { live } from 'lit/directives/live.js';
import { GAINS } from '../../hearing/gain.ts';
import { adviceOf } from '../../hearing/sound-check/advice.ts';
import type { SoundFigures } from '../../hearing/sound-check/figures.ts';
import type { Settings } from '../../running/settings.ts';
import type { SoundTrialView } from '../../running/sound-trial.ts';
import { TRIAL_PHRASE } from '../../running/trial-phrase.ts';
import { baseStyles } from '../shared/base-styles.ts';
import { eachBeat } from '../shared/each-beat.ts';
import { sendUp } from '../shared/events.ts';
import '../shared/level-meter.ts';
import { liveRegion } from '../shared/live-region.ts';
import { adviceWords, asksForPush, figureWords, GAIN_WORDS, understoodWords } from './sound-check-words.ts';
import type { SoundTrialModel } from './start-model.ts';

/** Tries the microphone and the ear before a check, and says what to do. It is an offer: a check can be started at any time. */
@customElement('tn-sound-check')
export class SoundCheck extends LitElement {
  @property({ attribute: false }) trial!: SoundTrialModel;
  @property({ attribute: false }) settings!: Settings;

  static override styles = [
    baseStyles,
    css`
      section {
        display: grid;
        grid-template-columns: minmax(0, 1fr);
        gap: 0.5rem;
      }
      .say {
        font-size: 1.25rem;
        font-weight: 700;
      }
      .found {
        display: grid;
        gap: 0.4rem;
      }
      .found p {
        border-left: 0.4rem solid var(--marginal);
        padding-left: 0.6rem;
      }
      .found p.good {
        border-color: var(--pass);
      }
      .choices {
        display: grid;
        grid-template-columns: minmax(0, 1fr);
        gap: 0.6rem;
      }
    `,
  ];

  override render() {
    const { state, line, pulse } = this.trial;
    return html`<section aria-label="Sound check">
      <h2>Sound check</h2>
      ${state === 'idle' ? html`<p>If you like, before a check: ten seconds, with everything running that will run in it.</p>` : nothing}
      ${liveRegion('alert', state === 'unavailable' ? line : '')}
      ${line === '' || state === 'unavailable' ? nothing : html`<p class="quiet">${line}</p>`}
      ${eachBeat(pulse, (view) => this.#course(view))} ${this.#choices()}
    </section>`;
  }

  #course(view: SoundTrialView | undefined) {
    const { state } = this.trial;
    const rests = state === 'idle' || state === 'done';
    const shown = state === 'running' || state === 'done' ? view : undefined;
    const { figures } = shown ?? {};
    const advice = figures === undefined ? [] : adviceOf(figures);
    return html`${shown === undefined || figures !== undefined ? nothing : html`<tn-level-meter .sound=${shown}></tn-level-meter>`}
      ${liveRegion('status', figures === undefined ? this.#ask(shown) : found(figures), { look: figures === undefined ? 'say' : 'found' })}
      ${liveRegion('status', shown === undefined ? '' : earSays(shown))}
      ${figures === undefined ? nothing : html`<p class="quiet">${figureWords(figures)}</p>`}
      <div class="row">
        <button @click=${() => this.#try(rests)}>
          ${state === 'idle' ? 'Try the microphone' : rests ? 'Speak again' : 'Leave the sound check'}
        </button>
        ${asksForPush(advice) ? this.#push() : nothing}
      </div>`;
  }

  #push() {
    const { pushToTalk } = this.settings;
    return html`<button
        aria-pressed=${pushToTalk}
        @click=${() => sendUp(this, 'settings', { pushToTalk: !pushToTalk })}
      >
        Use push-to-talk
      </button>
      ${pushToTalk ? html`<p>It is on: hold the pad or the space bar while you speak.</p>` : nothing}`;
  }

  #ask(view: SoundTrialView | undefined): string {
    const { state } = this.trial;
    if (state === 'starting') return 'Starting the microphone. Allow it, if the browser asks.';
    if (state !== 'running' || view === undefined) return '';
    return view.stage === 'quiet'
      ? 'Do not speak for a moment: the cab alone.'
      : `Now say, as you will in the check: “${TRIAL_PHRASE}”.`;
  }

  #choices() {
    const { microphones } = this.trial;
    const { microphone, gain } = this.settings;
    const gone = microphone !== '' && !microphones.some(({ id }) => id === microphone);
    return html`<details>
      <summary>Microphone and gain</summary>
      <div class="choices">
        <label class="field"
          >Microphone
          <select name="microphone" @change=${(event: Event) => this.#choose({ microphone: chosen(event) })}>
            <option value="" .selected=${live(microphone === '')}>The system’s choice</option>
            ${gone ? html`<option value=${microphone} .selected=${live(true)}>The one chosen before</option>` : nothing}
            ${microphones.map(({ id, name }) => html`<option value=${id} .selected=${live(id === microphone)}>${name}</option>`)}
          </select>
        </label>
        ${microphones.length === 0 ? html`<p class="quiet">The browser tells which others there are once one was tried.</p>` : nothing}
        <label class="field"
          >Gain
          <select
            name="gain"
            @change=${(event: Event) => this.#choose({ gain: GAINS.find((each) => each === chosen(event)) ?? '0' })}
          >
            ${GAINS.map((each) => html`<option value=${each} .selected=${live(each === gain)}>${GAIN_WORDS[each]}</option>`)}
          </select>
        </label>
        <p class="quiet">More gain is louder, with its noise; only a nearer microphone is clearer.</p>
      </div>
    </details>`;
  }

  #choose(change: Pick<Settings, 'microphone'> | Pick<Settings, 'gain'>): void {
    sendUp(this, 'settings', change);
    // What was measured is of another sound.
    if (this.trial.state !== 'idle') this.#try(true);
  }

  #try(wanted: boolean): void {
    sendUp(this, 'sound-check', wanted);
  }
}

function found(figures: SoundFigures): TemplateResult[] {
  const advice = adviceOf(figures);
  if (advice.length === 0) return [html`<p class="good"><b>Good:</b> your voice stands out of the cab.</p>`];
  return advice.map((each) => {
    const { wrong, todo } = adviceWords(each);
    return html`<p><b>${wrong}</b> ${todo}</p>`;
  });
}

/** Where no phrase was found, only what the ear heard all the same. */
function earSays({ figures, understood }: SoundTrialView): string {
  const none = understood === 'waiting' || understood === 'nothing';
  return figures === undefined || (figures.phrase === undefined && none) ? '' : understoodWords(understood);
}

function chosen(event: Event): string {
  return (event.target as HTMLSelectElement).value;
}

declare global {
  interface HTMLElementTagNameMap {
    'tn-sound-check': SoundCheck;
  }
}
