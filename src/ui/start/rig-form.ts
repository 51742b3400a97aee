import { LitElement, css, html } from 'lit';
import { customElement, property } from 'lit/decorators.js';
import type { RigSettings } from '../../judging/result.ts';
import type { PressureUnit } from '../../units/pressure.ts';
import { baseStyles } from '../shared/base-styles.ts';
import { UNITS } from '../shared/words.ts';

type Fitted = keyof NonNullable<RigSettings['fitted']>;
const FITTED: readonly (readonly [Fitted, string])[] = [
  ['handValve', 'Hand valve'],
  ['fastIdle', 'Fast idle'],
  ['trailer', 'Trailer'],
];

/** The basics of a rig. Sends `rig` with the whole rig when saved, `closed` when given up. */
@customElement('tn-rig-form')
export class RigForm extends LitElement {
  @property({ attribute: false }) rig!: RigSettings;

  static override styles = [
    baseStyles,
    css`
      form {
        display: grid;
        gap: 0.8rem;
      }
      .two {
        display: grid;
        grid-template-columns: 1fr 1fr;
        gap: 0.8rem;
      }
    `,
  ];

  override render() {
    const { rig } = this;
    return html`<form @submit=${this.#save}>
      <label class="field"
        >Name <input name="name" required maxlength="40" .value=${rig.name} autocomplete="off"
      /></label>
      <label class="field"
        >Unit of the dials
        <select name="unit">
          ${UNITS.map((unit) => html`<option ?selected=${unit === rig.unit}>${unit}</option>`)}
        </select>
      </label>
      <div class="two">
        ${(['primary', 'secondary'] as const).map(
          (circuit) =>
            html`<label class="field"
              >Smallest step you can read, ${circuit}
              <input
                name=${circuit}
                type="number"
                min="0.1"
                max="50"
                step="0.1"
                .value=${String(rig.resolution?.[circuit]?.value ?? (rig.unit === 'psi' ? 1 : 10))}
              />
            </label>`,
        )}
      </div>
      <fieldset>
        <legend>Fitted</legend>
        ${FITTED.map(([id, label]) => html`<label class="tick"><input type="checkbox" name=${id} .checked=${rig.fitted?.[id] ?? false} />${label}</label>`)}
      </fieldset>
      <div class="row">
        <button class="main" type="submit">Save the rig</button>
        <button type="button" @click=${() => this.dispatchEvent(new CustomEvent('closed'))}>Cancel</button>
      </div>
    </form>`;
  }

  #save(event: SubmitEvent): void {
    event.preventDefault();
    const data = new FormData(event.target as HTMLFormElement);
    const unit: PressureUnit = data.get('unit') === 'kPa' ? 'kPa' : 'psi';
    const text = (name: string): string => {
      const value = data.get(name);
      return typeof value === 'string' ? value : '';
    };
    const rig: RigSettings = {
      ...this.rig,
      name: text('name').trim() || this.rig.name,
      unit,
      resolution: {
        primary: { value: Number(text('primary')) || 1, unit },
        secondary: { value: Number(text('secondary')) || 1, unit },
      },
      fitted: Object.fromEntries(FITTED.map(([id]) => [id, data.has(id)])),
    };
    this.dispatchEvent(new CustomEvent<RigSettings>('rig', { detail: rig }));
  }
}
