import { LitElement, html, nothing } from 'lit';
import { customElement, property, query, state } from 'lit/decorators.js';
import { LEVEL } from '../../rehearsal/level.ts';
import { PEDAL_DOWN_PSI } from '../../rehearsal/hands.ts';
import type { Cab } from '../../rehearsal/cab.ts';
import type { HandsNow } from '../../rehearsal/hands.ts';
import type { RehearsalSetup } from '../../rehearsal/rehearsal.ts';
import { ActionEvent } from '../check/action-event.ts';
import type { Action, CheckModel, CueButton, EarState, LiveState } from '../../running/check-model.ts';
import '../check/question-panel.ts';
import type { ReadingEntry } from '../check/reading-entry.ts';
import '../check/reading-entry.ts';
import { SHORTCUTS, shortcutFor } from '../check/shortcuts.ts';
import '../check/time-bar.ts';
import { baseStyles } from '../shared/base-styles.ts';
import '../shared/level-meter.ts';
import { testNote } from '../shared/test-note.ts';
import { VERDICT_MARK, clockText } from '../shared/words.ts';
import { MovementEvent } from './cab-controls.ts';
import { CAB_KEYS, controlOfKey, movementOf } from './cab-keys.ts';
import './dial-gauge.ts';
import { rehearsalRunStyles } from './rehearsal-run-styles.ts';
import { senses } from './senses.ts';

const EAR_WORDS: Record<EarState, string> = {
  off: 'Microphone off',
  starting: 'Starting',
  listening: 'Listening',
  waiting: 'Hold to talk',
  unavailable: 'By hand',
};

/** A rehearsal under way: needles and controls of the simulated cab beside the check. Sends `Action`s and movements. */
@customElement('tn-rehearsal-run')
export class RehearsalRun extends LitElement {
  @property({ attribute: false }) setup!: RehearsalSetup;
  @property({ attribute: false }) model!: CheckModel;
  @property({ attribute: false }) live!: LiveState;
  @property({ attribute: false }) cab!: Cab;
  @property({ attribute: false }) hands!: HandsNow;
  @state() private entering = false;
  @state() private correcting = false;
  @query('tn-reading-entry') private entry!: ReadingEntry | null;
  @query('dialog') private help!: HTMLDialogElement;
  #step = '';
  #stepChanged = false;
  #asked: NonNullable<CheckModel['question']>['kind'] | undefined;
  #treading = false;
  #talkKey = false;

  static override styles = [baseStyles, rehearsalRunStyles];

  override connectedCallback(): void {
    super.connectedCallback();
    window.addEventListener('keydown', this.#keyDown);
    window.addEventListener('keyup', this.#keyUp);
    window.addEventListener('blur', this.#letGo);
  }

  override disconnectedCallback(): void {
    super.disconnectedCallback();
    window.removeEventListener('keydown', this.#keyDown);
    window.removeEventListener('keyup', this.#keyUp);
    window.removeEventListener('blur', this.#letGo);
  }

  override render() {
    const { setup, model, live } = this;
    const { clock } = model;
    return html`
      <header class="strip">
        <span class="what">${setup.scenario.rig.name}: ${LEVEL[setup.level].title}</span>
        ${
          setup.level === 'prompted'
            ? nothing
            : html`<span class="clock" role="timer" aria-label="Whole-check clock"
                >${clock === undefined ? '0:00' : clockText((clock.end ?? live.now) - clock.start)}</span
              >`
        }
      </header>
      <div class="columns">
        <section class="cab" aria-label="The simulated cab">
          ${this.#eyes()}
          <tn-cab-controls
            .hands=${this.hands}
            .fitted=${setup.scenario.rig.fitted}
            ?parkingOut=${this.cab.air.parkingOut}
            .keys=${live.keys}
          ></tn-cab-controls>
        </section>
        <main class="check">
          ${this.#task()} ${model.remarks.map((line) => html`<p class="remark" role="status">${line}</p>`)}
          <tn-question-panel .question=${model.question} @correct=${() => this.#open(true)}></tn-question-panel>
          <tn-time-bar .bar=${model.bar} .now=${live.now}></tn-time-bar>
          ${this.#newest()} ${this.#heard()}
          <p class="caption"><b>Says</b> <span aria-live="polite">${live.spoken.join(' ')}</span></p>
          ${this.#sayable()} ${this.#ear()}
        </main>
      </div>
      ${this.#foot()} ${this.#keys()}
    `;
  }

  protected override firstUpdated(): void {
    window.scrollTo(0, 0);
  }

  protected override willUpdate(): void {
    const { step, question } = this.model;
    this.#stepChanged = step.id !== this.#step;
    const told = this.setup.level === 'told';
    if ((told && this.#stepChanged) || (question !== undefined && question.kind !== this.#asked)) this.entering = false;
    this.#step = step.id;
    this.#asked = question?.kind;
  }

  protected override updated(): void {
    // The new instruction is where the page goes on; the needles stay where they are.
    if (this.#stepChanged && this.setup.level === 'told')
      this.renderRoot.querySelector<HTMLElement>('h1')?.focus({ preventScroll: true });
    this.#stepChanged = false;
  }

  /** What is seen, heard and felt in the cab. */
  #eyes() {
    const { cab } = this;
    const { unit, resolution } = cab.air.rig.gauge;
    return html`<div class="eyes">
      <div class="dials">
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
      </p>
    </div>`;
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
      <p class="title">Step ${model.number} of ${model.count}: ${model.step.title}</p>
      <h1 tabindex="-1">${model.paused ? 'Paused. Say “resume” or press Resume.' : model.step.instruction}</h1>
      ${model.step.caution === undefined ? nothing : html`<p class="caution"><b>Caution</b> ${model.step.caution}</p>`}
      ${testNote(model.note)}
    </section>`;
  }

  #sayable() {
    const { model } = this;
    const hasNeedles = model.needles.primary !== undefined || model.needles.secondary !== undefined;
    return html`<section class="say" aria-label="What you can say or press">
      <div class="row head">
        <h2>Say or press</h2>
        ${this.entering ? html`<button aria-expanded="true" @click=${() => this.#close()}>Close the pad</button>` : nothing}
      </div>
      ${
        this.entering
          ? html`<tn-reading-entry
              .unit=${model.unit}
              ?correction=${this.correcting}
              @act=${this.#close}
            ></tn-reading-entry>`
          : this.#cues(hasNeedles)
      }
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

  #cues(hasNeedles: boolean) {
    const { model } = this;
    return html`<div class="cues">
      ${
        model.wantsReading && model.question === undefined
          ? html`<button class="wanted" aria-expanded="false" @click=${() => this.#open(false)}>
              Enter the needles
            </button>`
          : nothing
      }
      ${model.cues.map((button) => this.#cue(button))}
      ${model.question !== undefined || !hasNeedles ? nothing : html`<button @click=${() => this.#open(true)}>Correct the needles</button>`}
    </div>`;
  }

  #cue(button: CueButton) {
    const isTold = this.setup.level === 'told';
    return html`<button
      class=${button.done ? 'done' : isTold ? 'wanted' : ''}
      @click=${() => this.#act({ do: 'cue', cue: button.cue })}
    >
      ${button.label}${button.done ? html` <span aria-hidden="true">✓</span><span class="unseen">, heard</span>` : nothing}
    </button>`;
  }

  #heard() {
    const { heard } = this.live;
    return html`<p class="caption ${heard?.used === false ? 'unused' : ''}">
      <b>Heard</b>
      <span
        >${
          heard === undefined
            ? html`<span class="quiet">nothing yet</span>`
            : html`<q>${heard.words}</q> <span class="quiet">${heard.taken}</span>`
        }</span
      >
    </p>`;
  }

  #newest() {
    const newest = this.model.verdicts.at(-1);
    if (newest === undefined) return nothing;
    const { verdict } = newest.result;
    return html`<p class="newest ${verdict}">
      <b><span aria-hidden="true">${VERDICT_MARK[verdict]}</span> ${newest.title}: ${verdict}</b>
    </p>`;
  }

  #ear() {
    const { live } = this;
    return html`<section class="ear" aria-label="Microphone">
      <p class="ear-line">
        <b>${live.talking ? 'Talking' : live.speaking ? 'Speaking' : EAR_WORDS[live.ear]}</b>
        <span>${live.earLine}</span>
      </p>
      ${live.sound === undefined || live.ear === 'unavailable' ? nothing : html`<tn-level-meter compact .sound=${live.sound}></tn-level-meter>`}
      ${live.ear === 'unavailable' ? html`<button @click=${() => this.#act({ do: 'microphone' })}>Try the microphone again</button>` : nothing}
    </section>`;
  }

  #foot() {
    const { model, live } = this;
    return html`<footer class="foot">
      ${
        live.pushToTalk && live.ear !== 'unavailable'
          ? html`<button
              class="talk"
              aria-pressed=${live.talking}
              @pointerdown=${(event: PointerEvent) => this.#talk(true, event)}
              @pointerup=${(event: PointerEvent) => this.#talk(false, event)}
              @pointercancel=${(event: PointerEvent) => this.#talk(false, event)}
              @contextmenu=${(event: Event) => event.preventDefault()}
            >
              ${live.talking ? 'Let go when said' : 'Hold to talk'}
            </button>`
          : nothing
      }
      <div class="tools" role="group" aria-label="Always available">
        ${
          model.paused
            ? html`<button class="main" @click=${() => this.#command('resume')}>Resume</button>`
            : html`<button @click=${() => this.#command('pause')}>Pause</button>`
        }
        <button @click=${() => this.#command('go-back')}>Back</button>
        <button @click=${() => this.#command('skip')}>Skip</button>
        <button @click=${() => this.#command('say-again')}>Again</button>
        <button @click=${() => this.help.showModal()}>Keys</button>
        <button class="stop" @click=${() => this.#command('stop-check')}>Stop</button>
      </div>
    </footer>`;
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

  #act(action: Action, source: 'touch' | 'key' = 'touch'): void {
    this.dispatchEvent(new ActionEvent(action, source));
  }

  #command(command: Extract<Action, { do: 'command' }>['command']): void {
    this.#act({ do: 'command', command });
  }

  #open(correction: boolean, first = '', event?: Event): void {
    this.correcting = correction;
    this.entering = true;
    void this.updateComplete.then(() => this.entry?.begin(first, event));
  }

  #close(): void {
    this.entering = false;
    this.renderRoot.querySelector<HTMLElement>('h1')?.focus({ preventScroll: true });
  }

  #talk(down: boolean, event: PointerEvent): void {
    event.preventDefault();
    if (down) (event.currentTarget as HTMLElement).setPointerCapture(event.pointerId);
    this.#act({ do: 'talk', down });
  }

  #tread(down: boolean): void {
    this.#treading = down;
    this.dispatchEvent(new MovementEvent({ set: { pedalPsi: down ? PEDAL_DOWN_PSI : 0 } }));
  }

  #keyDown = (event: KeyboardEvent): void => {
    if (this.help.open) return;
    if (event.key === 'Escape' && this.entering) {
      this.#close();
      return;
    }
    if (!this.live.keys || event.repeat || event.ctrlKey || event.metaKey || event.altKey) return;
    const target = event.composedPath()[0];
    if (target instanceof HTMLInputElement && target.type !== 'range') return;
    if (event.code === 'Space') {
      const onControl = target instanceof HTMLElement && target.matches('button:not(.talk):focus-visible');
      if (!this.live.pushToTalk || onControl) return;
      event.preventDefault();
      this.#talkKey = true;
      this.#act({ do: 'talk', down: true }, 'key');
      return;
    }
    const control = controlOfKey(event.key);
    if (control !== undefined && this.#isFitted(control)) {
      event.preventDefault();
      const { controls, fanning } = this.hands;
      if (control === 'tread') this.#tread(true);
      else {
        const stands = { parkingOut: this.cab.air.parkingOut, fanning };
        this.dispatchEvent(new MovementEvent(movementOf(control, controls, stands)));
      }
      return;
    }
    const shortcut = shortcutFor(event, this.model);
    if (shortcut === undefined) return;
    event.preventDefault();
    if (shortcut.kind === 'act') this.#act(shortcut.action, 'key');
    else if (shortcut.kind === 'help') this.help.showModal();
    else this.#open(shortcut.correction, shortcut.first, event);
  };

  #isFitted(control: string): boolean {
    const { fitted } = this.setup.scenario.rig;
    return (control !== 'fast-idle' || fitted.fastIdle) && (control !== 'hand-valve' || fitted.handValve);
  }

  #keyUp = (event: KeyboardEvent): void => {
    if (event.code === 'Space' && this.#talkKey) {
      this.#talkKey = false;
      this.#act({ do: 'talk', down: false }, 'key');
    } else if (controlOfKey(event.key) === 'tread' && this.#treading) this.#tread(false);
  };

  /** The window lost the focus: no key will be seen to come up. */
  #letGo = (): void => {
    if (this.#talkKey) this.#act({ do: 'talk', down: false }, 'key');
    this.#talkKey = false;
    if (this.#treading) this.#tread(false);
  };
}
