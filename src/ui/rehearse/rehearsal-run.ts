import { html, nothing } from 'lit';
import { customElement, property, query } from 'lit/decorators.js';
import type { Cab } from '../../rehearsal/cab.ts';
import { PEDAL_DOWN_PSI } from '../../rehearsal/hands.ts';
import { LEVEL } from '../../rehearsal/level.ts';
import type { RehearsalSetup } from '../../rehearsal/rehearsal.ts';
import type { InCab } from '../../running/live-rehearsal.ts';
import type { Pulse } from '../../running/pulse.ts';
import { CabScreen } from '../cab/cab-screen.ts';
import { cabStyles } from '../cab/cab-styles.ts';
import { SHORTCUTS } from '../check/shortcuts.ts';
import { baseStyles } from '../shared/base-styles.ts';
import { eachBeat } from '../shared/each-beat.ts';
import { testNote } from '../shared/test-note.ts';
import { verdictStyles } from '../shared/verdict-look.ts';
import { CAB_KEYS, controlOfKey, movementOf } from './cab-keys.ts';
import './dial-gauge.ts';
import { rehearsalRunStyles } from './rehearsal-run-styles.ts';
import { senses } from './senses.ts';
import { sendUp } from '../shared/events.ts';

/** A rehearsal under way: needles and controls of the simulated cab beside the check. Sends `Action`s and movements. */
@customElement('tn-rehearsal-run')
export class RehearsalRun extends CabScreen {
  @property({ attribute: false }) setup!: RehearsalSetup;
  @property({ attribute: false }) inCab!: Pulse<InCab>;
  @query('dialog') private help!: HTMLDialogElement;
  #treading = false;

  static override styles = [baseStyles, verdictStyles, cabStyles, rehearsalRunStyles];

  protected override get followsSteps(): boolean {
    return this.setup.level === 'told';
  }

  protected override get takesKeys(): boolean {
    return !this.help.open;
  }

  protected override showHelp(): void {
    this.help.showModal();
  }

  override render() {
    const { setup, live } = this;
    return html`
      <header class="strip">
        <span class="what">${setup.scenario.rig.name}: ${LEVEL[setup.level].title}</span>
        ${this.earLight()} ${setup.level === 'prompted' ? nothing : this.clock()}
      </header>
      <div class="columns ${this.entering ? 'typing' : ''}">
        <section class="cab" aria-label="The simulated cab">
          <div class="eyes">${eachBeat(this.inCab, ({ cab }) => this.#eyes(cab))} ${this.timed()}</div>
          ${eachBeat(
            this.inCab,
            ({ cab, hands }) =>
              html`<tn-cab-controls
                .hands=${hands}
                .fitted=${setup.scenario.rig.fitted}
                ?parkingOut=${cab.air.parkingOut}
                .keys=${live.keys}
              ></tn-cab-controls>`,
          )}
        </section>
        <main class="check ${this.entering ? 'entering' : ''}">
          ${this.asked()} ${this.#task()} ${this.remarks()} ${this.#sayable()} ${this.newest()}
          ${this.heard(!LEVEL[this.setup.level].goesOn)} ${this.says()} ${this.ear()}
        </main>
      </div>
      ${this.foot('Keys')} ${this.#keys()}
    `;
  }

  /** The needles stay where they are. */
  protected override toInstruction(): void {
    this.focusHeading({ preventScroll: true });
  }

  /** What is seen, heard and felt in the cab. */
  #eyes(cab: Cab) {
    const { unit, resolution } = cab.air.rig.gauge;
    return html`<div class="dials">
        ${(['primary', 'secondary'] as const).map(
          (circuit) =>
            html`<tn-dial-gauge
              circuit=${circuit}
              psi=${cab.air.needles[circuit]}
              .unit=${unit}
              resolution=${resolution}
            ></tn-dial-gauge>`,
        )}
      </div>
      <p class="senses" role="status" aria-label="Heard and felt">
        ${senses(cab).map((words) => html`<b>${words}</b>`)}
      </p>`;
  }

  #task() {
    const { model, setup } = this;
    if (setup.level !== 'told') {
      return html`<section class="task">
        <h1 tabindex="-1">${model.paused ? 'Paused. Say “resume” or press Resume.' : 'Do the check and call it'}</h1>
        <p>${setup.scenario.told}</p>
      </section>`;
    }
    return html`<section class="task">
      <p class="title" id="step">
        <span class="word">Step </span>${model.number} of ${model.count}: ${model.step.title}
      </p>
      ${this.instruction()} ${testNote(model.note)}
    </section>`;
  }

  #sayable() {
    const { model } = this;
    return html`<section class="say" aria-label="What you can say or press">
      <div class="row head">
        <h2>Say or press</h2>
        ${this.entering ? html`<button aria-expanded="true" @click=${() => this.close()}>Close the pad</button>` : nothing}
      </div>
      ${this.entering ? this.pad() : this.#cues()}
      ${
        model.sayable.length === 0
          ? html`<p class="quiet">
              To move the controls by voice: “pumping”, “pedal up”, “push the valve in”, “shift to neutral”.
            </p>`
          : html`<p class="phrases">
              <span class="quiet">For example:</span> ${model.sayable.map((phrase) => html`<q>${phrase}</q> `)}<q
                >pumping</q
              >
              <q>pedal up</q>
            </p>`
      }
    </section>`;
  }

  #cues() {
    const { model } = this;
    const look = this.setup.level === 'told' ? 'wanted' : '';
    return html`<div class="cues">
      ${
        model.wantsReading && model.question === undefined
          ? html`<button class="wanted" aria-expanded="false" @click=${() => this.open(false)}>
              Enter the needles
            </button>`
          : nothing
      }
      ${model.cues.map((button) => this.cue(button, look))} ${this.correctButton()}
    </div>`;
  }

  #keys() {
    return html`<dialog aria-label="Keys">
      <div class="row head">
        <h2>Keys</h2>
        <button class="main" @click=${() => this.help.close()}>Close</button>
      </div>
      ${this.live.keys ? nothing : html`<p>Single keys are switched off in the settings; Tab and Enter reach everything.</p>`}
      <dl class="keys">
        ${[...CAB_KEYS.map(({ key, what }) => ({ keys: key, what })), ...SHORTCUTS].map(
          ({ keys, what }) =>
            html`<dt><kbd>${keys}</kbd></dt>
              <dd>${what}</dd>`,
        )}
      </dl>
    </dialog>`;
  }

  #tread(down: boolean): void {
    this.#treading = down;
    sendUp(this, 'movement', { set: { pedalPsi: down ? PEDAL_DOWN_PSI : 0 } });
  }

  protected override otherKeyDown(event: KeyboardEvent): boolean {
    const control = controlOfKey(event.key);
    if (control === undefined || !this.#isFitted(control)) return false;
    const { cab, hands } = this.inCab.value;
    if (control === 'tread') this.#tread(true);
    else {
      const stands = { parkingOut: cab.air.parkingOut, fanning: hands.fanning };
      sendUp(this, 'movement', movementOf(control, hands.controls, stands));
    }
    return true;
  }

  #isFitted(control: string): boolean {
    const { fitted } = this.setup.scenario.rig;
    return (control !== 'fast-idle' || fitted.fastIdle) && (control !== 'hand-valve' || fitted.handValve);
  }

  protected override otherKeyUp(event: KeyboardEvent): void {
    if (controlOfKey(event.key) === 'tread' && this.#treading) this.#tread(false);
  }

  protected override letKeysGo(): void {
    super.letKeysGo();
    if (this.#treading) this.#tread(false);
  }
}

declare global {
  interface HTMLElementTagNameMap {
    'tn-rehearsal-run': RehearsalRun;
  }
}
