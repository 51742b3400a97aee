import { LitElement, css, html } from 'lit';
import { customElement, property } from 'lit/decorators.js';
import { baseStyles } from './base-styles.ts';
import { keyName } from './talk-keys.ts';
import type { Settings } from '../../running/settings.ts';
import { sendUp } from './events.ts';

type Choice = 'voice' | 'countAloud' | 'echoCancellation' | 'headset' | 'systemVoice' | 'slowSpeaker' | 'keys';
type Amount = 'volume' | 'rate' | 'textScale';

/** Keys that move about in a page. */
const KEPT: readonly string[] = ['Tab', 'Shift', 'Escape', 'Enter'];

/** Whether the button of a headset talks, in one sentence. */
function headsetLine(): string {
  return 'mediaSession' in navigator
    ? 'Push to talk: the play button of a headset opens the microphone and closes it again, where the system passes it on.'
    : 'This browser does not pass on the button of a headset: use the pad, the space bar or another key.';
}

/** Every setting of this device; each change is sent at once as a `settings` event with the changed part. */
@customElement('tn-settings-form')
export class SettingsForm extends LitElement {
  @property({ attribute: false }) settings!: Settings;

  static override styles = [
    baseStyles,
    css`
      :host {
        display: grid;
        gap: 1rem;
      }
      .group {
        display: grid;
        gap: 0.3rem;
      }
      .options {
        display: flex;
        flex-wrap: wrap;
        gap: 0 1.2rem;
      }
    `,
  ];

  override render() {
    return html`
      ${this.#options('Look', 'theme', [
        ['auto', 'As the device'],
        ['day', 'Day, for sunlight'],
        ['night', 'Night, dim'],
        ['red', 'Red, for eyes used to the dark'],
        ['hours', 'By the hour: day from 7 to 19, then red'],
      ])}
      ${this.#amount('textScale', 'Text size', 1, 1.6, 0.1)}
      <fieldset class="group">
        <legend>Answers</legend>
        ${this.#tick('voice', 'Speak the answers')}
        ${this.#options('How much is said', 'talk', [
          ['tones', 'Tones, and words for cautions'],
          ['short', 'Short: digits, verdicts, questions'],
          ['full', 'Full sentences'],
        ])}
        ${this.#tick('systemVoice', 'Speak with the voice of this device: it hears you less well while it speaks')}
        ${this.#tick('countAloud', 'Count holds aloud')} ${this.#amount('volume', 'Volume', 0, 1, 0.1)}
        ${this.#amount('rate', 'Speed', 0.7, 1.6, 0.1)}
      </fieldset>
      ${this.#options('Listening', 'pushToTalk', [
        ['false', 'Open: always listening'],
        ['true', 'Push to talk: space bar or the big pad'],
      ])}
      ${this.#talkKey()}
      <p class="quiet">${headsetLine()} By voice: “push to talk”, “open listening”.</p>
      <fieldset class="group">
        <legend>Controls</legend>
        ${this.#tick('slowSpeaker', 'Wait longer for the second needle')}
        ${this.#tick('headset', 'The answers go to a headset: no microphone hears them')}
        ${this.#tick('echoCancellation', 'Echo cancellation of the microphone')}
        ${this.#tick('keys', 'Single-key shortcuts on the Check screen')}
      </fieldset>
    `;
  }

  #talkKey() {
    return html`<label class="field"
      >Another key that talks, of a foot switch for example
      <input
        name="talkKey"
        readonly
        placeholder="none: press the key here"
        aria-description="Press the key to choose it, Backspace for none"
        .value=${this.settings.talkKey}
        @keydown=${(event: KeyboardEvent) => this.#chooseKey(event)}
      />
    </label>`;
  }

  #chooseKey(event: KeyboardEvent): void {
    // What leaves the field or the dialog stays what it is.
    if (event.ctrlKey || event.metaKey || event.altKey || KEPT.includes(event.key)) return;
    event.preventDefault();
    event.stopPropagation();
    this.#send({ talkKey: event.key === 'Backspace' ? '' : keyName(event) });
  }

  #tick(name: Choice, label: string) {
    return html`<label class="tick"
      ><input
        type="checkbox"
        .checked=${this.settings[name]}
        @change=${(event: Event) => this.#send({ [name]: (event.target as HTMLInputElement).checked })}
      />${label}</label
    >`;
  }

  #amount(name: Amount, label: string, min: number, max: number, step: number) {
    return html`<label class="field"
      >${label}
      <input
        type="range"
        min=${min}
        max=${max}
        step=${step}
        .value=${String(this.settings[name])}
        aria-valuetext="${Math.round(this.settings[name] * 100)} %"
        @change=${(event: Event) => this.#send({ [name]: Number((event.target as HTMLInputElement).value) })}
      />
    </label>`;
  }

  #options(legend: string, name: 'theme' | 'pushToTalk' | 'talk', options: readonly (readonly [string, string])[]) {
    return html`<fieldset class="group">
      <legend>${legend}</legend>
      <div class="options">
        ${options.map(
          ([value, label]) =>
            html`<label class="tick"
              ><input
                type="radio"
                name=${name}
                .checked=${String(this.settings[name]) === value}
                @change=${() => this.#send({ [name]: name === 'pushToTalk' ? value === 'true' : value })}
              />${label}</label
            >`,
        )}
      </div>
    </fieldset>`;
  }

  #send(change: Partial<Settings>): void {
    sendUp(this, 'settings', change);
  }
}

declare global {
  interface HTMLElementTagNameMap {
    'tn-settings-form': SettingsForm;
  }
}
