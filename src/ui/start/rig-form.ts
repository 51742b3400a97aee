import { LitElement, css, html, nothing } from 'lit';
import { customElement, property, state } from 'lit/decorators.js';
import { live } from 'lit/directives/live.js';
import { readRig } from '../../judging/read-rig.ts';
import type { RigSettings } from '../../judging/result.ts';
import { problemLine } from '../../units/outcome.ts';
import type { PressureUnit } from '../../units/pressure.ts';
import { baseStyles } from '../shared/base-styles.ts';
import { UNITS } from '../shared/words.ts';
import { rigGaps } from './rig-gaps.ts';
import { send } from '../shared/events.ts';
import { liveRegion } from '../shared/live-region.ts';

type Fitted = keyof NonNullable<RigSettings['fitted']>;
const FITTED: readonly (readonly [Fitted, string])[] = [
  ['handValve', 'Hand valve'],
  ['fastIdle', 'Fast idle'],
  ['trailer', 'Trailer'],
];
const RESERVOIRS = ['supply', 'primary', 'secondary'] as const;
/** The finest marks that most dials have. */
const USUAL_STEP: Readonly<Record<PressureUnit, number>> = { psi: 1, kPa: 10 };

/** All settings of a rig that the results use. Sends `rig` with the whole rig when saved, `closed` when given up. */
@customElement('tn-rig-form')
export class RigForm extends LitElement {
  @property({ attribute: false }) rig!: RigSettings;
  /** As it stands in the fields. */
  @state() private entered: RigSettings | undefined;
  @state() private refused = '';

  static override styles = [
    baseStyles,
    css`
      form {
        display: grid;
        gap: 0.8rem;
      }
      .fields {
        display: grid;
        grid-template-columns: repeat(auto-fit, minmax(min(8.5rem, 100%), 1fr));
        gap: 0.8rem;
        align-items: end;
      }
      fieldset {
        display: grid;
        gap: 0.5rem;
        border-top: 1px solid var(--hair);
        padding-top: 0.5rem;
      }
      .ticks {
        display: flex;
        flex-wrap: wrap;
        gap: 0 1.2rem;
      }
      .gaps {
        border-left: 0.4rem solid var(--marginal);
        padding-left: 0.6rem;
      }
      ul {
        margin: 0;
        padding-left: 1.1rem;
      }
      .refused {
        color: var(--fail);
        font-weight: 700;
      }
    `,
  ];

  override render() {
    const { rig } = this;
    const { unit } = this.entered ?? rig;
    return html`<form @submit=${this.#save} @input=${this.#look}>
      <label class="field"
        >Name <input name="name" required maxlength="40" .value=${rig.name} autocomplete="off"
      /></label>
      <label class="field"
        >Unit of the dials
        <select name="unit" @change=${this.#stepsOfUnit}>
          ${UNITS.map((each) => html`<option ?selected=${each === rig.unit}>${each}</option>`)}
        </select>
      </label>
      <fieldset>
        <legend>Smallest step you can read on the dial, ${unit}</legend>
        <div class="fields">
          ${(['primary', 'secondary'] as const).map((circuit) =>
            number(
              `${circuit}Step`,
              circuit === 'primary' ? 'Primary dial' : 'Secondary dial',
              rig.resolution?.[circuit]?.value ?? USUAL_STEP[rig.unit],
              50,
            ),
          )}
        </div>
      </fieldset>
      <fieldset>
        <legend>Fitted</legend>
        <div class="ticks">
          ${FITTED.map(([id, label]) => html`<label class="tick"><input type="checkbox" name=${id} .checked=${live(rig.fitted?.[id] ?? false)} />${label}</label>`)}
        </div>
      </fieldset>
      <fieldset>
        <legend>Reservoirs, in litres (may stay empty)</legend>
        <div class="fields">
          ${RESERVOIRS.map((id) => number(id, id.charAt(0).toUpperCase() + id.slice(1), rig.reservoirs?.[id], 1000))}
          ${number('required', 'Required volume', rig.requiredReservoirs, 1000)}
        </div>
        <p class="quiet">
          No supply tank: 0. Required: 12 times the volume of the service brake chambers, from the maker’s data.
        </p>
      </fieldset>
      <fieldset>
        <legend>Compressor (may stay empty)</legend>
        <div class="fields">
          ${number('displacement', 'Rated displacement, litres a minute', rig.compressorDisplacement, 5000)}
        </div>
      </fieldset>
      ${this.#gaps()} ${liveRegion('alert', this.refused, { look: 'refused' })}
      <div class="row">
        <button class="main" type="submit">Save the rig</button>
        <button type="button" @click=${() => send(this, 'closed')}>Cancel</button>
      </div>
    </form>`;
  }

  #gaps() {
    const gaps = rigGaps(this.entered ?? this.rig);
    if (gaps.length === 0) return nothing;
    return html`<div class="gaps">
      <p><b>Not computed on this rig so far</b></p>
      <ul>
        ${gaps.map((line) => html`<li>${line}</li>`)}
      </ul>
    </div>`;
  }

  #look(event: Event): void {
    const { form } = event.target as HTMLInputElement;
    if (form !== null) this.entered = this.#read(form);
  }

  /** Dials of another unit have other marks. */
  #stepsOfUnit(event: Event): void {
    const { form, value } = event.target as HTMLSelectElement;
    for (const input of form?.querySelectorAll<HTMLInputElement>('input[name$=Step]') ?? [])
      input.value = String(USUAL_STEP[value === 'kPa' ? 'kPa' : 'psi']);
  }

  #read(form: HTMLFormElement): RigSettings {
    const data = new FormData(form);
    const text = (name: string): string => {
      const value = data.get(name);
      return typeof value === 'string' ? value.trim() : '';
    };
    const filled = <Key extends string, Value>(key: Key, name: string, as: (value: number) => Value) =>
      (text(name) === '' ? {} : { [key]: as(Number(text(name))) }) as Partial<Record<Key, Value>>;
    const plain = (value: number): number => value;
    const unit: PressureUnit = data.get('unit') === 'kPa' ? 'kPa' : 'psi';
    const step = (value: number) => ({ value, unit });
    const { id, name } = this.rig;
    return {
      id,
      name: text('name') || name,
      unit,
      resolution: { ...filled('primary', 'primaryStep', step), ...filled('secondary', 'secondaryStep', step) },
      reservoirs: {
        ...filled('supply', 'supply', plain),
        ...filled('primary', 'primary', plain),
        ...filled('secondary', 'secondary', plain),
      },
      ...filled('requiredReservoirs', 'required', plain),
      ...filled('compressorDisplacement', 'displacement', plain),
      fitted: Object.fromEntries(FITTED.map(([each]) => [each, data.has(each)])),
    };
  }

  #save(event: SubmitEvent): void {
    event.preventDefault();
    const rig = readRig(this.#read(event.target as HTMLFormElement), 'This rig');
    this.refused = rig.ok ? '' : problemLine(rig.problem);
    if (rig.ok) send(this, 'rig', rig.value);
  }
}

function number(name: string, label: string, value: number | undefined, most: number) {
  const least = name === 'supply' ? 0 : 0.1;
  return html`<label class="field"
    >${label}
    <input
      name=${name}
      type="number"
      inputmode="decimal"
      min=${least}
      max=${most}
      step="any"
      .value=${String(value ?? '')}
  /></label>`;
}

declare global {
  interface HTMLElementTagNameMap {
    'tn-rig-form': RigForm;
  }
}
