import { LitElement, css, html, nothing } from 'lit';
import { customElement, property, state } from 'lit/decorators.js';
import type { Circuit } from '../../units/circuit.ts';
import type { Pressure, PressureUnit } from '../../units/pressure.ts';
import { baseStyles } from '../shared/base-styles.ts';
import { send, sendUp } from '../shared/events.ts';
import { BOUNCE_MS } from './bounce.ts';

const KEYS = ['1', '2', '3', '4', '5', '6', '7', '8', '9', '.5', '0', '⌫'] as const;
/** The most an air gauge on these rigs shows, in each unit. */
const MOST: Record<PressureUnit, number> = { psi: 160, kPa: 1100 };

/** Both needles by touch or keyboard: two fields and a big pad. The time of the reading is that of its first key. */
@customElement('tn-reading-entry')
export class ReadingEntry extends LitElement {
  @property() unit: PressureUnit = 'psi';
  /** True when the reading replaces the last one. */
  @property({ type: Boolean }) correction = false;
  /** The other needle has been called: this one alone is asked for. */
  @property() missing: Circuit | undefined;
  @state() private primary = '';
  @state() private secondary = '';
  @state() private active: Circuit = 'primary';
  @state() private complaint = '';
  private since: number | undefined;
  /** When it opened under a thumb, which may bounce. */
  private came = -Infinity;

  static override styles = [
    baseStyles,
    css`
      form {
        display: grid;
        gap: min(0.6rem, 10px);
      }
      .fields {
        display: grid;
        grid-template-columns: 1fr 1fr;
        gap: 0.6rem;
      }
      .fields input {
        font-size: min(1.8rem, 32px);
        font-weight: 700;
        font-variant-numeric: tabular-nums;
        min-height: var(--key-height, clamp(48px, 3.4rem, 56px));
      }
      .fields label {
        font-size: min(1rem, 5vw);
      }
      .fields label[data-active] input {
        border: 3px solid var(--accent);
      }
      .pad {
        display: grid;
        grid-template-columns: repeat(3, 1fr);
        gap: min(0.4rem, 6px);
      }
      .pad button {
        min-height: var(--key-height, clamp(48px, 3.4rem, 54px));
        padding-block: 0.1rem;
        font-size: min(1.4rem, 30px);
      }
      .send {
        display: grid;
        grid-template-columns: auto 1fr auto;
        gap: 0.5rem;
      }
      .send button {
        padding-inline: 0.3rem;
        font-size: min(1rem, 1.1rem / var(--text-scale, 1));
      }
      .send .main {
        min-height: var(--key-height, clamp(48px, 3.6rem, 58px));
        font-size: min(1.15rem, 1.15rem / var(--text-scale, 1));
      }
      .complaint {
        color: var(--fail);
        font-weight: 700;
      }
    `,
  ];

  protected override willUpdate(): void {
    if (this.missing !== undefined) this.active = this.missing;
  }

  override render() {
    const alone =
      this.missing !== undefined
        ? ''
        : this.primary === ''
          ? this.secondary
          : this.secondary === ''
            ? this.primary
            : '';
    return html`<form @submit=${this.#send} novalidate>
      <div class="fields">
        ${this.missing === 'secondary' ? nothing : this.#field('primary', 'Primary', this.primary)}
        ${this.missing === 'primary' ? nothing : this.#field('secondary', 'Secondary', this.secondary)}
      </div>
      <p class="complaint" role="alert">${this.complaint}</p>
      <div class="pad" role="group" aria-label="Number pad">
        ${KEYS.map(
          (key) =>
            html`<button
              type="button"
              @click=${(event: MouseEvent) => this.#press(key, event)}
              aria-label=${key === '⌫' ? 'Delete the last digit' : key === '.5' ? 'and a half' : key}
            >
              ${key === '.5' ? '½' : key}
            </button>`,
        )}
      </div>
      <div class="send">
        <button type="button" ?disabled=${alone === ''} @click=${this.#both}>
          Both at ${alone === '' ? '–' : alone}
        </button>
        <button class="main" type="submit">${this.correction ? 'Correct to these' : 'Take these needles'}</button>
        <button type="button" @click=${() => send(this, 'closed')}>Close</button>
      </div>
    </form>`;
  }

  /** Puts the caret where the reading begins; `first` is a digit that was already typed, by that key event. */
  begin(first = '', event?: Event): void {
    const circuit = this.missing ?? 'primary';
    if (first !== '') {
      this[circuit] = first;
      this.since = event?.timeStamp;
    }
    this.active = circuit;
    void this.updateComplete.then(() => {
      this.renderRoot.querySelector<HTMLInputElement>(`input[name=${circuit}]`)?.focus({ preventScroll: true });
      this.scrollIntoView({ block: 'end' });
    });
  }

  /** It opened by itself: what a thumb presses at that moment was meant for something else. */
  come(): void {
    this.came = Number(document.timeline.currentTime ?? -Infinity);
    void this.updateComplete.then(() => this.scrollIntoView({ block: 'nearest' }));
  }

  #field(circuit: Circuit, label: string, value: string) {
    return html`<label class="field" ?data-active=${this.active === circuit}
      >${label}, ${this.unit}
      <input
        name=${circuit}
        inputmode="none"
        autocomplete="off"
        maxlength="6"
        .value=${value}
        @focus=${() => (this.active = circuit)}
        @input=${(event: InputEvent) => this.#set(circuit, (event.target as HTMLInputElement).value, event)}
      />
    </label>`;
  }

  #set(circuit: Circuit, value: string, { timeStamp }: Event): void {
    this.since ??= timeStamp;
    this.complaint = '';
    this[circuit] = value;
  }

  #press(key: (typeof KEYS)[number], event: MouseEvent): void {
    if (event.detail > 0 && event.timeStamp - this.came < BOUNCE_MS) return;
    // A half after a dial that was full is that dial's.
    if (
      key === '.5' &&
      this.missing === undefined &&
      this.active === 'secondary' &&
      this.secondary === '' &&
      this.primary !== ''
    )
      this.active = 'primary';
    const now = this[this.active];
    if (key === '⌫') this.#set(this.active, now.slice(0, -1), event);
    else if (!(key === '.5' && now.includes('.'))) this.#set(this.active, now + key, event);
    // Digits that no further one can follow fill a dial: go on to the other needle without a further press.
    const full = Number(`${this.primary}0`) > MOST[this.unit];
    if (this.missing === undefined && this.active === 'primary' && full && this.secondary === '' && key !== '⌫')
      this.active = 'secondary';
  }

  /** One press takes both needles at what was put in for one. */
  #both(event: Event): void {
    const value = this.primary === '' ? this.secondary : this.primary;
    this.primary = value;
    this.secondary = value;
    this.#take(event.timeStamp);
  }

  #send(event: SubmitEvent): void {
    event.preventDefault();
    this.#take(event.timeStamp);
  }

  #take(now: number): void {
    const reading: { -readonly [name in Circuit]?: Pressure } = {};
    for (const circuit of ['primary', 'secondary'] as const) {
      const text = this[circuit].trim().replace(',', '.');
      if (text === '') continue;
      const value = Number(text);
      if (!Number.isFinite(value) || value < 0 || value > MOST[this.unit]) {
        this.complaint = `The ${circuit} needle must be a number from 0 to ${MOST[this.unit]} ${this.unit}; “${text}” is not.`;
        return;
      }
      reading[circuit] = { value, unit: this.unit };
    }
    if (reading.primary === undefined && reading.secondary === undefined) {
      this.complaint = 'Put in at least one needle.';
      return;
    }
    sendUp(this, 'act', {
      action: {
        do: 'reading',
        reading,
        correction: this.correction,
        took: this.since === undefined ? 0 : now - this.since,
      },
      source: 'touch',
    });
    this.primary = '';
    this.secondary = '';
    this.active = 'primary';
    this.since = undefined;
  }
}

declare global {
  interface HTMLElementTagNameMap {
    'tn-reading-entry': ReadingEntry;
  }
}
