import { LitElement, css, html, nothing } from 'lit';
import type { PropertyValues } from 'lit';
import { customElement, property, state } from 'lit/decorators.js';
import { live } from 'lit/directives/live.js';
import type { Scenario } from '../../airsystem/scenario.ts';
import type { Plan } from '../../check/plan.ts';
import type { LimitProfile } from '../../judging/profile.ts';
import { LEVEL, LEVELS } from '../../rehearsal/level.ts';
import type { LevelId } from '../../rehearsal/level.ts';
import { problemLine } from '../../units/outcome.ts';
import { baseStyles } from '../shared/base-styles.ts';
import type { LastChoice, RehearsalChoice } from './rehearsal-choice.ts';
import type { ScenarioShelf } from './scenario-shelf.ts';
import { send } from '../shared/events.ts';
import { liveRegion } from '../shared/live-region.ts';

const MOST_SEED = 0xffff_ffff;

/** Who rehearses what, and with how much help. Sends `rehearse` with the choice, and `trainee` with each change of the name. */
@customElement('tn-rehearsal-setup')
export class RehearsalSetupForm extends LitElement {
  @property({ attribute: false }) shelf!: ScenarioShelf;
  @property({ attribute: false }) plans: readonly Plan[] = [];
  @property({ attribute: false }) profiles: readonly LimitProfile[] = [];
  @property({ attribute: false }) last!: LastChoice;
  /** Names that were used before. */
  @property({ attribute: false }) trainees: readonly string[] = [];
  /** A seed for a fault that nobody knows. */
  @property({ attribute: false }) randomSeed: () => number = () => 0;
  @state() private scenarioId = '';
  @state() private level: LevelId = 'told';
  @state() private seed = 0;
  @state() private refused: readonly string[] = [];
  @state() private done = '';
  @state() private complaint = '';

  static override styles = [
    baseStyles,
    css`
      form {
        display: grid;
        gap: 0.9rem;
      }
      .two {
        display: grid;
        gap: 0.9rem;
        grid-template-columns: repeat(auto-fit, minmax(min(100%, 13rem), 1fr));
      }
      .told {
        border-left: 0.4rem solid var(--accent);
        padding-left: 0.7rem;
      }
      .levels {
        display: grid;
        gap: 0.2rem;
      }
      label.tick {
        align-items: start;
        padding-block: 0.35rem;
      }
      .refused,
      .complaint {
        border-left: 0.4rem solid var(--fail);
        padding-left: 0.6rem;
        color: var(--fail);
        font-weight: 700;
        overflow-wrap: anywhere;
      }
      .go {
        min-height: 4.2rem;
        font-size: 1.4rem;
      }
      .seed {
        display: grid;
        grid-template-columns: minmax(0, 1fr) auto;
        gap: 0.5rem;
        align-items: end;
      }
    `,
  ];

  protected override willUpdate(changed: PropertyValues<this>): void {
    if (!changed.has('last') || this.scenarioId !== '') return;
    this.scenarioId = this.last.scenario;
    this.level = this.last.level;
    this.seed = this.randomSeed();
  }

  override render() {
    const scenario = this.#scenario();
    return html`<form class="panel" novalidate @submit=${this.#send}>
      <h2>New rehearsal</h2>
      <label class="field"
        >Trainee
        <input
          name="trainee"
          autocomplete="name"
          maxlength="60"
          list="trainees"
          .value=${this.last.trainee}
          @input=${(event: Event) => this.#named((event.target as HTMLInputElement).value)}
      /></label>
      <datalist id="trainees">${this.trainees.map((name) => html`<option value=${name}></option>`)}</datalist>
      ${liveRegion('alert', this.complaint, { look: 'complaint' })}
      <label class="field"
        >Scenario
        <select
          name="scenario"
          @change=${(event: Event) => (this.scenarioId = (event.target as HTMLSelectElement).value)}
        >
          ${[...this.shelf.builtIn, { title: 'Your own', scenarios: this.shelf.own }]
            .filter(({ scenarios }) => scenarios.length > 0)
            .map(
              (group) =>
                html`<optgroup label=${group.title}>
                  ${group.scenarios.map(({ id, title }) => html`<option value=${id} .selected=${live(id === scenario.id)}>${title}</option>`)}
                </optgroup>`,
            )}
        </select>
      </label>
      <p class="told">${scenario.told}</p>
      ${scenario.hidden === undefined ? nothing : this.#seedField()}
      <label class="field"
        >Import a scenario
        <input type="file" accept=".json,application/json" @change=${(event: Event) => void this.#import(event)} />
      </label>
      ${
        this.shelf.own.includes(scenario)
          ? html`<div>
              <button type="button" @click=${() => this.#remove(scenario)}>Remove “${scenario.title}”</button>
            </div>`
          : nothing
      }
      ${liveRegion(
        'alert',
        this.refused.map((line) => html`<p class="refused">${line}</p>`),
      )}
      ${liveRegion('status', this.done)}
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
              /><span><b>${LEVEL[id].title}.</b> ${LEVEL[id].about}</span></label
            >`,
        )}
      </fieldset>
      <label class="tick"
        ><input type="checkbox" name="cuesMove" .checked=${this.last.cuesMove} /><span
          ><b>Words move the controls.</b> “Engine off” stops the engine, “pumping” fans the pedal. Without it you work
          the controls by hand or key, and then say what you did.</span
        ></label
      >
      <div class="two">
        ${this.#choose('planId', 'Plan', this.plans)} ${this.#choose('profileId', 'Limits', this.profiles)}
      </div>
      <p class="caution">
        <b>Caution</b> A simulated rig teaches the callouts. If you sit in a real cab, leave its controls alone: wheels
        chocked, engine off.
      </p>
      <button class="main go" type="submit">Start the rehearsal</button>
    </form>`;
  }

  #choose(name: 'planId' | 'profileId', label: string, of: readonly { readonly id: string; readonly title: string }[]) {
    return html`<label class="field"
      >${label}
      <select name=${name}>
        ${of.map(({ id, title }) => html`<option value=${id} ?selected=${id === this.last[name]}>${title}</option>`)}
      </select>
    </label>`;
  }

  #seedField() {
    return html`<div class="seed">
      <label class="field"
        >Number of the hidden fault
        <input
          name="seed"
          inputmode="numeric"
          autocomplete="off"
          .value=${live(String(this.seed))}
          @input=${(event: Event) => (this.seed = Number((event.target as HTMLInputElement).value))}
      /></label>
      <button type="button" @click=${() => (this.seed = this.randomSeed())}>Another one</button>
    </div>`;
  }

  #scenario(): Scenario {
    const all = [...this.shelf.own, ...this.shelf.builtIn.flatMap(({ scenarios }) => scenarios)];
    const chosen = all.find(({ id }) => id === this.scenarioId) ?? all.at(0);
    if (chosen === undefined) throw new Error('the program has scenarios of its own');
    return chosen;
  }

  #named(name: string): void {
    this.complaint = '';
    send(this, 'trainee', name.trim());
  }

  async #import(event: Event): Promise<void> {
    const input = event.target as HTMLInputElement;
    const files = [...(input.files ?? [])];
    input.value = '';
    this.refused = [];
    this.done = '';
    for (const file of files) {
      const scenario = this.shelf.add(await file.text(), file.name);
      if (scenario.ok) {
        this.scenarioId = scenario.value.id;
        this.done = `“${scenario.value.title}” is taken in and chosen.`;
      } else this.refused = [...this.refused, problemLine(scenario.problem)];
    }
  }

  #remove({ id, title }: Scenario): void {
    this.shelf.remove(id);
    this.scenarioId = '';
    this.done = `“${title}” is removed.`;
    this.requestUpdate();
  }

  #send(event: SubmitEvent): void {
    event.preventDefault();
    const form = new FormData(event.target as HTMLFormElement);
    const value = (name: string): string => {
      const entry = form.get(name);
      return typeof entry === 'string' ? entry.trim() : '';
    };
    const trainee = value('trainee');
    const scenario = this.#scenario();
    const isSeed = Number.isInteger(this.seed) && this.seed >= 0 && this.seed <= MOST_SEED;
    if (trainee === '') this.complaint = 'Put in the name of the trainee; the progress is kept under it.';
    else if (scenario.hidden !== undefined && !isSeed)
      this.complaint = `The number of the hidden fault must be a whole number from 0 to ${MOST_SEED}.`;
    else {
      const choice: RehearsalChoice = {
        trainee,
        scenario,
        ...(scenario.hidden === undefined ? {} : { seed: this.seed }),
        level: this.level,
        planId: value('planId'),
        profileId: value('profileId'),
        cuesMove: form.has('cuesMove'),
      };
      send(this, 'rehearse', choice);
      return;
    }
    this.renderRoot.querySelector<HTMLElement>(trainee === '' ? '[name=trainee]' : '[name=seed]')?.focus();
  }
}

declare global {
  interface HTMLElementTagNameMap {
    'tn-rehearsal-setup': RehearsalSetupForm;
  }
}
