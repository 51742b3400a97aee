import { LitElement, html, nothing } from 'lit';
import { customElement, property, query, state } from 'lit/decorators.js';
import { baseStyles } from '../shared/base-styles.ts';
import '../shared/level-meter.ts';
import type { Settings } from '../../running/settings.ts';
import '../shared/verdict-card.ts';
import { testNote } from '../shared/test-note.ts';
import { VERDICT_MARK, clockText } from '../shared/words.ts';
import { ActionEvent } from './action-event.ts';
import type { Action, CheckModel, CueButton, EarState, LiveState } from '../../running/check-model.ts';
import { checkScreenStyles } from './check-screen-styles.ts';
import { shortcutFor } from './shortcuts.ts';
import type { CheckMenu } from './check-menu.ts';
import './check-menu.ts';
import './needle-pair.ts';
import './question-panel.ts';
import type { ReadingEntry } from './reading-entry.ts';
import './reading-entry.ts';
import './time-bar.ts';

const EAR_WORDS: Record<EarState, string> = {
  off: 'Microphone off',
  starting: 'Starting',
  listening: 'Listening',
  waiting: 'Hold to talk',
  unavailable: 'By hand',
};

/** The Check screen: shows a model and sends `Action`s; it knows nothing of the machine, the microphone or the store. */
@customElement('tn-check-screen')
export class CheckScreen extends LitElement {
  @property({ attribute: false }) model!: CheckModel;
  @property({ attribute: false }) live!: LiveState;
  /** Whom the limits bind; shown behind “why?”. */
  @property() applicability = '';
  @property({ attribute: false }) settings!: Settings;
  /** A demo is watched, not answered. */
  @property({ type: Boolean }) watched = false;
  @state() private entering = false;
  @state() private correcting = false;
  @query('tn-reading-entry') private entry!: ReadingEntry | null;
  @query('tn-check-menu') private menu!: CheckMenu;
  #step = '';
  #stepChanged = false;
  #asked: NonNullable<CheckModel['question']>['kind'] | undefined;
  #talkKey = false;

  static override styles = [baseStyles, checkScreenStyles];

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
    const { model, live } = this;
    return html`
      <header class="strip">
        <span class="place">Step ${model.number} of ${model.count}</span>
        <span class="pips" aria-hidden="true"
          >${Array.from({ length: model.count }, (_, i) => html`<i class=${i + 1 < model.number ? 'past' : i + 1 === model.number ? 'here' : ''}></i>`)}</span
        >
        <span class="clock" role="timer" aria-label="Whole-check clock">${this.#clock()}</span>
      </header>
      <div class="columns">
        <main class="now">
          <section class="task">
            <p class="title">${model.step.title}</p>
            <h1 tabindex="-1">${model.paused ? 'Paused. Say “resume” or press Resume.' : model.step.instruction}</h1>
            ${model.step.caution === undefined ? nothing : html`<p class="caution"><b>Caution</b> ${model.step.caution}</p>`}
            ${testNote(model.note)}
          </section>
          ${model.remarks.map((line) => html`<p class="remark" role="status">${line}</p>`)}
          <tn-question-panel .question=${model.question} @correct=${() => this.#open(true)}></tn-question-panel>
          <tn-needle-pair .needles=${model.needles} .unit=${model.unit}></tn-needle-pair>
          <tn-time-bar .bar=${model.bar} .now=${live.now}></tn-time-bar>
          ${this.#newest()} ${this.#heard()} ${this.watched ? nothing : this.#sayable()} ${this.#spoken()}
        </main>
        <aside class="side">
          ${this.#ear()} ${live.notices.map((line) => html`<p class="notice" role="status">${line}</p>`)}
          <section class="verdicts" aria-label="Verdicts so far">
            <h2>Verdicts so far</h2>
            ${
              model.verdicts.length === 0
                ? html`<p class="quiet">None yet.</p>`
                : model.verdicts
                    .toReversed()
                    .map(
                      ({ title, result }) =>
                        html`<tn-verdict-card
                          heading=${title}
                          .result=${result}
                          applicability=${this.applicability}
                        ></tn-verdict-card>`,
                    )
            }
          </section>
        </aside>
      </div>
      ${this.#foot()}
      <tn-check-menu .settings=${this.settings}></tn-check-menu>
    `;
  }

  protected override willUpdate(): void {
    const { step, question } = this.model;
    this.#stepChanged = step.id !== this.#step;
    // A new step or question is what matters now: the pad goes away, and is one press from coming back.
    if (this.#stepChanged || (question !== undefined && question.kind !== this.#asked)) this.entering = false;
    this.#step = step.id;
    this.#asked = question?.kind;
  }

  protected override updated(): void {
    // The new instruction is where the page goes on.
    if (this.#stepChanged) this.renderRoot.querySelector<HTMLElement>('h1')?.focus();
    this.#stepChanged = false;
  }

  #clock(): string {
    const { clock } = this.model;
    return clock === undefined ? '0:00' : clockText((clock.end ?? this.live.now) - clock.start);
  }

  #sayable() {
    const { model } = this;
    return html`<section class="say" aria-label="What you can say or press">
      <h2>Say or press</h2>
      <div class="cues">
        ${model.cues.map((button) => this.#cue(button))}
        ${
          model.wantsReading && model.question === undefined
            ? html`<button
                class="readings"
                aria-expanded=${this.entering}
                @click=${() => (this.entering ? this.#close() : this.#open(false))}
              >
                ${this.entering ? 'Close the pad' : 'Enter the needles'}
              </button>`
            : nothing
        }
        ${
          model.question !== undefined || (model.needles.primary === undefined && model.needles.secondary === undefined)
            ? nothing
            : html`<button @click=${() => this.#open(true)}>Correct the needles</button>`
        }
      </div>
      ${this.entering ? html`<tn-reading-entry .unit=${model.unit} ?correction=${this.correcting} @act=${this.#close}></tn-reading-entry>` : nothing}
      ${model.sayable.length === 0 ? nothing : html`<p class="phrases"><span class="quiet">For example:</span> ${model.sayable.map((phrase) => html`<q>${phrase}</q> `)}</p>`}
    </section>`;
  }

  #cue(button: CueButton) {
    return html`<button
      class=${button.done ? 'done' : 'wanted'}
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

  #spoken() {
    return html`<p class="caption"><b>Says</b> <span aria-live="polite">${this.live.spoken.join(' ')}</span></p>`;
  }

  /** On a narrow screen the list of verdicts is far below, so the newest one is shown here too. */
  #newest() {
    const newest = this.model.verdicts.at(-1);
    if (newest === undefined) return nothing;
    const { verdict } = newest.result;
    return html`<p class="newest ${verdict === 'not judged' ? 'unjudged' : verdict}">
      <b><span aria-hidden="true">${VERDICT_MARK[verdict]}</span> ${newest.title}: ${verdict}</b>
    </p>`;
  }

  #ear() {
    const { live } = this;
    return html`<section class="ear ${live.ear}" aria-label="Microphone">
      <p class="ear-line">
        <b>${this.watched ? 'Demo' : live.talking ? 'Talking' : live.speaking ? 'Speaking' : EAR_WORDS[live.ear]}</b>
        <span>${live.earLine}</span>
      </p>
      ${live.sound === undefined || live.ear === 'unavailable' ? nothing : html`<tn-level-meter compact .sound=${live.sound}></tn-level-meter>`}
      ${live.ear === 'unavailable' && !this.watched ? html`<button @click=${() => this.#act({ do: 'microphone' })}>Try the microphone again</button>` : nothing}
    </section>`;
  }

  #foot() {
    const { model, live } = this;
    if (this.watched) {
      return html`<footer class="foot">
        <button @click=${() => this.#act({ do: 'leave' })}>Stop the demo</button>
      </footer>`;
    }
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
        <button @click=${() => this.menu.show()}>More</button>
        <button class="stop" @click=${() => this.#command('stop-check')}>Stop</button>
      </div>
    </footer>`;
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

  #keyDown = (event: KeyboardEvent): void => {
    if (this.watched || this.menu.open) return;
    if (event.key === 'Escape' && this.entering) {
      this.#close();
      return;
    }
    if (!this.live.keys || event.repeat || event.ctrlKey || event.metaKey || event.altKey) return;
    const target = event.composedPath()[0];
    if (
      target instanceof HTMLInputElement ||
      target instanceof HTMLSelectElement ||
      target instanceof HTMLTextAreaElement
    )
      return;
    if (event.code === 'Space') {
      // A control reached by keyboard keeps its space bar; one that was only touched must not be pressed again by talking.
      const onControl =
        target instanceof HTMLElement && target.matches('button:not(.talk):focus-visible, summary:focus-visible');
      if (!this.live.pushToTalk || onControl) return;
      event.preventDefault();
      this.#talkKey = true;
      this.#act({ do: 'talk', down: true }, 'key');
      return;
    }
    const shortcut = shortcutFor(event, this.model);
    if (shortcut === undefined) return;
    event.preventDefault();
    if (shortcut.kind === 'act') this.#act(shortcut.action, 'key');
    else if (shortcut.kind === 'help') this.menu.show();
    else this.#open(shortcut.correction, shortcut.first, event);
  };

  #keyUp = (event: KeyboardEvent): void => {
    if (event.code !== 'Space' || !this.#talkKey) return;
    event.preventDefault();
    this.#letGo();
  };

  #letGo = (): void => {
    if (!this.#talkKey) return;
    this.#talkKey = false;
    this.#act({ do: 'talk', down: false });
  };
}
