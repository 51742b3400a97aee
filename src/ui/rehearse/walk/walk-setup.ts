import { LitElement, css, html, nothing } from 'lit';
import type { PropertyValues } from 'lit';
import { customElement, property, state } from 'lit/decorators.js';
import { live } from 'lit/directives/live.js';
import type { Plan } from '../../../check/plan.ts';
import { LEVEL, LEVELS, type LevelId } from '../../../rehearsal/level.ts';
import { undrawn, WALK_LEVEL } from '../../../rehearsal/pre-trip/walk.ts';
import { baseStyles } from '../../shared/base-styles.ts';
import { send } from '../../shared/events.ts';
import { liveRegion } from '../../shared/live-region.ts';
import type { WalkChoice } from './walk-choice.ts';

const MOST_SEED = 0xffff_ffff;

/** Who walks which part of the pre-trip on paper, and with how much help. Sends `walk` with the choice. */
@customElement('tn-walk-setup')
export class WalkSetupForm extends LitElement {
  /** Plans of which something is drawn. */
  @property({ attribute: false }) plans: readonly Plan[] = [];
  @property({ attribute: false }) last!: Omit<WalkChoice, 'seed'>;
  @property({ attribute: false }) trainees: readonly string[] = [];
  @property({ attribute: false }) randomSeed: () => number = () => 0;
  @state() private planId = '';
  @state() private level: LevelId = 'told';
  @state() private seed = 0;
  @state() private complaint = '';
  #begun = false;

  static override styles = [
    baseStyles,
    css`
      form {
        display: grid;
        gap: 0.9rem;
      }
      .levels {
        display: grid;
        gap: 0.2rem;
      }
      label.tick {
        align-items: start;
        padding-block: 0.35rem;
      }
      .seed {
        display: grid;
        grid-template-columns: minmax(0, 1fr) auto;
        gap: 0.5rem;
        align-items: end;
      }
      .complaint {
        border-left: 0.4rem solid var(--fail);
        padding-left: 0.6rem;
        color: var(--fail);
        font-weight: 700;
      }
      .go {
        min-height: 4.2rem;
        font-size: 1.4rem;
      }
    `,
  ];

  protected override willUpdate(changed: PropertyValues<this>): void {
    if (this.#begun || !changed.has('last')) return;
    this.#begun = true;
    this.planId = this.last.planId;
    this.level = this.last.level;
    this.seed = this.randomSeed();
  }

  override render() {
    const plan = this.#plan();
    if (plan === undefined)
      return html`<p class="panel">
        No plan on this device has a place of which something is drawn. The built-in pre-trip has; look under Check,
        Plans.
      </p>`;
    const missing = undrawn(plan);
    return html`<form class="panel" novalidate @submit=${this.#send}>
      <h2>New walk</h2>
      <label class="field"
        >Trainee
        <input
          name="trainee"
          autocomplete="name"
          maxlength="60"
          list="trainees"
          .value=${this.last.trainee}
          @input=${() => (this.complaint = '')}
        />
      </label>
      <datalist id="trainees">${this.trainees.map((name) => html`<option value=${name}></option>`)}</datalist>
      ${liveRegion('alert', this.complaint, { look: 'complaint' })}
      <label class="field"
        >What is walked
        <select name="plan" @change=${(event: Event) => (this.planId = (event.target as HTMLSelectElement).value)}>
          ${this.plans.map(({ id, title }) => html`<option value=${id} .selected=${live(id === plan.id)}>${title}</option>`)}
        </select>
      </label>
      ${missing.length === 0 ? nothing : html`<p class="quiet">Not drawn, and so left out: ${missing.join(', ')}.</p>`}
      <div class="seed">
        <label class="field"
          >Number of the rig on paper
          <input
            name="seed"
            inputmode="numeric"
            autocomplete="off"
            .value=${live(String(this.seed))}
            @input=${(event: Event) => (this.seed = Number((event.target as HTMLInputElement).value))}
        /></label>
        <button type="button" @click=${() => (this.seed = this.randomSeed())}>Another one</button>
      </div>
      <p class="quiet">The same number has the same faults again.</p>
      <fieldset class="levels">
        <legend>Help</legend>
        ${LEVELS.map(
          (id) =>
            html`<label class="tick"
              ><input
                type="radio"
                name="level"
                value=${id}
                .checked=${live(id === this.level)}
                @change=${() => (this.level = id)}
              /><span><b>${LEVEL[id].title}.</b> ${WALK_LEVEL[id].about}</span></label
            >`,
        )}
      </fieldset>
      <p class="caution">
        <b>Caution</b> A walk on paper is no check of any rig. Before a real one moves, its own pre-trip is done at the
        rig itself.
      </p>
      <button class="main go" type="submit">Start the walk</button>
    </form>`;
  }

  #plan(): Plan | undefined {
    return this.plans.find(({ id }) => id === this.planId) ?? this.plans[0];
  }

  #send(event: SubmitEvent): void {
    event.preventDefault();
    const named = new FormData(event.target as HTMLFormElement).get('trainee');
    const trainee = typeof named === 'string' ? named.trim() : '';
    const plan = this.#plan();
    const { seed, level } = this;
    if (trainee === '') this.complaint = 'Put in the name of the trainee; the progress is kept under it.';
    else if (!Number.isInteger(seed) || seed < 0 || seed > MOST_SEED)
      this.complaint = `The number of the rig must be a whole number from 0 to ${MOST_SEED}.`;
    else if (plan !== undefined) {
      send(this, 'walk', { trainee, planId: plan.id, level, seed });
      return;
    }
    this.renderRoot.querySelector<HTMLElement>(trainee === '' ? '[name=trainee]' : '[name=seed]')?.focus();
  }
}

declare global {
  interface HTMLElementTagNameMap {
    'tn-walk-setup': WalkSetupForm;
  }
}
