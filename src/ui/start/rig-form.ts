import { LitElement, css, html, nothing } from 'lit';
import type { PropertyValues } from 'lit';
import { customElement, property, state } from 'lit/decorators.js';
import { live } from 'lit/directives/live.js';
import { readRig } from '../../judging/read-rig.ts';
import type { RigSettings } from '../../judging/result.ts';
import { problemLine } from '../../units/outcome.ts';
import type { PressureUnit } from '../../units/pressure.ts';
import { baseStyles } from '../shared/base-styles.ts';
import { DUE_EVERY, type RigDefaults } from '../../running/rig-defaults.ts';
import { VOLUME_UNITS, type VolumeUnit } from '../../units/volume-unit.ts';
import { fromLitres, toLitres, volumeText } from '../../units/volume.ts';
import { UNITS } from '../shared/words.ts';
import { rigGaps } from './rig-gaps.ts';
import { send } from '../shared/events.ts';
import { liveRegion } from '../shared/live-region.ts';

/** Something that can be chosen. */
export interface Named {
  readonly id: string;
  readonly title: string;
}

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
  @property({ attribute: false }) defaults: RigDefaults = {};
  @property({ attribute: false }) plans: readonly Named[] = [];
  @property({ attribute: false }) profiles: readonly Named[] = [];
  /** In which volumes are typed now. */
  @state() private volumes: VolumeUnit = 'L';
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

  protected override willUpdate(changed: PropertyValues<this>): void {
    if (changed.has('defaults')) this.volumes = this.defaults.volumes ?? 'L';
  }

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
        <legend>Reservoirs (may stay empty)</legend>
        <div class="fields">
          <label class="field"
            >Unit of volumes
            <select name="volumes" @change=${this.#volumesOfUnit}>
              ${VOLUME_UNITS.map((each) => html`<option value=${each} ?selected=${each === this.volumes}>${VOLUME_WORDS[each]}</option>`)}
            </select>
          </label>
          ${RESERVOIRS.map((id) => this.#volume(id, id.charAt(0).toUpperCase() + id.slice(1), rig.reservoirs?.[id]))}
          ${this.#volume('required', 'Required volume', rig.requiredReservoirs)}
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
      <fieldset>
        <legend>Used when this rig is chosen</legend>
        <div class="fields">
          ${choice('planId', 'Plan', this.plans, this.defaults.planId)}
          ${choice('profileId', 'Limits', this.profiles, this.defaults.profileId)}
          <label class="field"
            >Check due
            <select name="dueHours">
              <option value="">as for all rigs</option>
              ${DUE_EVERY.map(([hours, words]) => html`<option value=${hours} ?selected=${hours === this.defaults.dueHours}>${words}</option>`)}
            </select>
          </label>
        </div>
        <p class="quiet">With a plan of its own, only a check by that plan counts as done.</p>
      </fieldset>
      ${this.#gaps()} ${liveRegion('alert', this.refused, { look: 'refused' })}
      <div class="row">
        <button class="main" type="submit">Save the rig</button>
        <button type="button" @click=${() => send(this, 'closed')}>Cancel</button>
      </div>
    </form>`;
  }

  #volume(name: string, label: string, litres: number | undefined) {
    const most = Number(fromLitres(1000, this.volumes).toPrecision(4));
    return number(name, `${label}, ${this.volumes}`, volumeText(litres, this.volumes), most);
  }

  /** The same tanks in another unit. */
  #volumesOfUnit(event: Event): void {
    const { form, value } = event.target as HTMLSelectElement;
    const unit = VOLUME_UNITS.find((each) => each === value) ?? 'L';
    if (form === null) return;
    const rig = this.#read(form);
    const litres = { ...rig.reservoirs, required: rig.requiredReservoirs };
    this.volumes = unit;
    for (const name of [...RESERVOIRS, 'required'] as const) {
      const input = form.querySelector<HTMLInputElement>(`input[name=${name}]`);
      if (input !== null) input.value = volumeText(litres[name], unit);
    }
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
    // What was not touched stays what it was, to the last digit.
    const kept = { ...this.rig.reservoirs, required: this.rig.requiredReservoirs };
    const litresOf =
      (name: keyof typeof kept) =>
      (value: number): number =>
        text(name) === volumeText(kept[name], this.volumes) ? (kept[name] ?? 0) : toLitres(value, this.volumes);
    const unit: PressureUnit = data.get('unit') === 'kPa' ? 'kPa' : 'psi';
    const step = (value: number) => ({ value, unit });
    const { id, name } = this.rig;
    return {
      id,
      name: text('name') || name,
      unit,
      resolution: { ...filled('primary', 'primaryStep', step), ...filled('secondary', 'secondaryStep', step) },
      reservoirs: {
        ...filled('supply', 'supply', litresOf('supply')),
        ...filled('primary', 'primary', litresOf('primary')),
        ...filled('secondary', 'secondary', litresOf('secondary')),
      },
      ...filled('requiredReservoirs', 'required', litresOf('required')),
      ...filled('compressorDisplacement', 'displacement', plain),
      fitted: Object.fromEntries(FITTED.map(([each]) => [each, data.has(each)])),
    };
  }

  #save(event: SubmitEvent): void {
    event.preventDefault();
    const rig = readRig(this.#read(event.target as HTMLFormElement), 'This rig');
    this.refused = rig.ok ? '' : problemLine(rig.problem);
    if (!rig.ok) return;
    send(this, 'rig-defaults', {
      rig: rig.value.id,
      defaults: this.#defaults(new FormData(event.target as HTMLFormElement)),
    });
    send(this, 'rig', rig.value);
  }

  #defaults(data: FormData): RigDefaults {
    const text = (name: string): string => {
      const value = data.get(name);
      return typeof value === 'string' ? value : '';
    };
    const [planId, profileId, dueHours] = [text('planId'), text('profileId'), Number(text('dueHours'))];
    return {
      ...(planId === '' ? {} : { planId }),
      ...(profileId === '' ? {} : { profileId }),
      ...(dueHours === 0 ? {} : { dueHours }),
      volumes: this.volumes,
    };
  }
}

const VOLUME_WORDS: Readonly<Record<VolumeUnit, string>> = { L: 'litres', gal: 'US gallons', 'in³': 'cubic inches' };

function choice(name: string, label: string, all: readonly Named[], chosen: string | undefined) {
  return html`<label class="field"
    >${label}
    <select name=${name}>
      <option value="">as chosen last</option>
      ${all.map(({ id, title }) => html`<option value=${id} ?selected=${id === chosen}>${title}</option>`)}
    </select>
  </label>`;
}

function number(name: string, label: string, value: number | string | undefined, most: number) {
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
