import { LitElement, html, nothing, type TemplateResult } from 'lit';
import { property, query, state } from 'lit/decorators.js';
import type { Action, CheckModel, CueButton, EarState, LiveState } from '../../running/check-model.ts';
import '../check/fork-panel.ts';
import '../check/note-entry.ts';
import '../check/question-panel.ts';
import type { ReadingEntry } from '../check/reading-entry.ts';
import '../check/reading-entry.ts';
import { BOUNCE_MS } from '../check/bounce.ts';
import { shortcutFor } from '../check/shortcuts.ts';
import '../check/time-bar.ts';
import { eachBeat } from '../shared/each-beat.ts';
import '../shared/level-meter.ts';
import { VERDICT_MARK, toneOf } from '../shared/verdict-look.ts';
import { clockText } from '../shared/words.ts';
import { keyName, TalkHolds } from '../shared/talk-keys.ts';
import { HeadsetButton } from './headset-button.ts';
import { on, sendUp } from '../shared/events.ts';
import { afterRegion, liveRegion } from '../shared/live-region.ts';

const BOUNCE_PX = 24;

const EAR_WORDS: Record<EarState, string> = {
  off: 'Microphone off',
  starting: 'Starting',
  listening: 'Listening',
  waiting: 'Hold to talk',
  unavailable: 'By hand',
};

/**
 * What a check and a rehearsal show alike, and their keys: shows a model and sends `Action`s. It knows nothing of the
 * machine, the microphone or the store.
 */
export abstract class CabScreen extends LitElement {
  @property({ attribute: false }) model!: CheckModel;
  @property({ attribute: false }) live!: LiveState;
  /** What was last to be said and has no sound on this device. */
  @property() unsaid = '';
  @state() protected entering = false;
  @state() protected correcting = false;
  @query('tn-reading-entry') private entry!: ReadingEntry | null;
  #step = '';
  #stepChanged = false;
  #asked: NonNullable<CheckModel['question']>['kind'] | undefined;
  #lastTap = { x: 0, y: 0, at: -Infinity };
  /** What had the focus last, as deep as can be. */
  #focused: Element | undefined;
  /** A cue was pressed in the step under way, so that its instruction has been read. */
  #pressed = false;
  /** The needles for which the pad has opened by itself: closed by hand, it stays closed. */
  #opened: string | undefined;
  readonly #talking = new TalkHolds((down, source) => this.act({ do: 'talk', down }, source));
  readonly #headset = new HeadsetButton(() => {
    if (this.#talking.has('headset')) this.#talking.end('headset');
    else this.#talking.begin('headset');
  });

  /** The instruction of each new step is where the page goes on. */
  protected get followsSteps(): boolean {
    return true;
  }

  /** By hand, the pad opens by itself where needles are all that is waited for. */
  protected get opensPad(): boolean {
    return false;
  }

  /** While it is false, keys are for something else: an open dialog, a demo that is only watched. */
  protected abstract get takesKeys(): boolean;
  protected abstract showHelp(): void;

  /** A key before it is looked for among the keys of the check; true when it was one. */
  protected otherKeyDown?(event: KeyboardEvent): boolean;
  protected otherKeyUp?(event: KeyboardEvent): void;

  /** The window lost the focus, or nobody sees it: no key will be seen to come up, and no pointer. */
  protected letKeysGo(): void {
    this.#talking.endAll();
  }

  override connectedCallback(): void {
    super.connectedCallback();
    window.addEventListener('keydown', this.#keyDown);
    window.addEventListener('keyup', this.#keyUp);
    window.addEventListener('blur', this.#blurred);
    document.addEventListener('visibilitychange', this.#blurred);
  }

  override disconnectedCallback(): void {
    super.disconnectedCallback();
    window.removeEventListener('keydown', this.#keyDown);
    window.removeEventListener('keyup', this.#keyUp);
    window.removeEventListener('blur', this.#blurred);
    document.removeEventListener('visibilitychange', this.#blurred);
    this.#headset.stop();
    this.#talking.endAll();
  }

  protected override willUpdate(): void {
    const { step, question } = this.model;
    this.#focused = focusedIn(this.shadowRoot) ?? this.#focused;
    this.#stepChanged = this.followsSteps && step.id !== this.#step;
    // A new step or question is what matters now: the pad goes away, and is one press from coming back.
    if (this.#stepChanged || (question !== undefined && question.kind !== this.#asked)) this.entering = false;
    if (this.#stepChanged) {
      this.#pressed = false;
      this.#opened = undefined;
    }
    this.#step = step.id;
    this.#asked = question?.kind;
    this.#openByItself();
  }

  #openByItself(): void {
    const { step, bar, question, paused, readingNext, missing } = this.model;
    const isDue = bar?.kind === 'hold' && bar.due !== undefined && this.live.pulse.value.now >= bar.due;
    const isWanted = isDue || missing !== undefined || (readingNext && this.#pressed);
    if (!this.opensPad || !isWanted || question !== undefined || paused) return;
    const needles = `${step.id} ${String(bar?.start)} ${String(missing)}`;
    if (this.#opened === needles) return;
    this.#opened = needles;
    this.correcting = false;
    this.entering = true;
    void this.updateComplete.then(() => this.entry?.come());
  }

  protected override updated(): void {
    if (this.#stepChanged) this.toInstruction();
    this.#stepChanged = false;
    // A pad that is gone is let go of by nobody.
    if (!this.#hasPad) this.#talking.endAll();
    if (this.#hasPad && this.isConnected) this.#headset.listen();
    else this.#headset.stop();
    requestAnimationFrame(() => this.#keepFocus());
  }

  /** What had the focus may go, as a question does that is answered: then the page goes on at the instruction. */
  #keepFocus(): void {
    const isGone = this.#focused?.isConnected === false;
    if (isGone && this.isConnected && document.activeElement === document.body)
      this.focusHeading({ preventScroll: true });
  }

  get #hasPad(): boolean {
    return this.live.pushToTalk && this.live.ear !== 'unavailable';
  }

  /** The instruction of a new step and its caution come into sight, also when the heading had the focus already. */
  protected toInstruction(): void {
    this.focusHeading({ preventScroll: true });
    this.renderRoot.querySelector('.columns')?.scrollTo({ top: 0 });
  }

  /** With its caution, which is read out with it. */
  protected instruction(): TemplateResult {
    const { step, paused } = this.model;
    return html`<h1 tabindex="-1" aria-describedby="step caution note">
        ${paused ? 'Paused. Say “resume” or press Resume.' : step.instruction}
      </h1>
      ${step.caution === undefined ? nothing : html`<p class="caution" id="caution"><b>Caution</b> ${step.caution}</p>`}`;
  }

  protected focusHeading(options?: FocusOptions): void {
    this.renderRoot.querySelector<HTMLElement>('h1')?.focus(options);
  }

  protected clock(): TemplateResult {
    const { clock } = this.model;
    return html`<span class="clock" role="timer" aria-label="Whole-check clock"
      >${eachBeat(this.live.pulse, ({ now }) => (clock === undefined ? '0:00' : clockText((clock.end ?? now) - clock.start)))}</span
    >`;
  }

  /** What is asked comes before everything: the check goes on with the answer. */
  protected asked(): TemplateResult {
    const said = this.live.spoken.join(' ');
    const isUnsaid = this.unsaid !== '' && said.toLowerCase().includes(this.unsaid.toLowerCase());
    return html`${isUnsaid ? html`<p class="unsaid"><b>Read this:</b> ${this.unsaid}</p>` : nothing}
      <tn-question-panel .question=${this.model.question} ${on({ correct: () => this.open(true) })}></tn-question-panel>
      <tn-fork-panel .failed=${this.model.fork} ${on({ closed: () => this.#goOn() })}></tn-fork-panel>`;
  }

  /** What is odd, and the note that is being taken. */
  protected remarks(): TemplateResult {
    const { model } = this;
    return html`${liveRegion(
      'status',
      model.remarks.map((line) => html`<p class="remark">${line}</p>`),
    )}
    ${model.noting ? html`<tn-note-entry></tn-note-entry>` : nothing}`;
  }

  /** What is being timed. */
  protected timed(): TemplateResult {
    const { model, live } = this;
    return html`${eachBeat(live.pulse, ({ now }) => html`<tn-time-bar .bar=${model.bar} .now=${now}></tn-time-bar>`)}`;
  }

  protected cue({ cue, label, done }: CueButton, look = 'wanted'): TemplateResult {
    return html`<button
      class=${done ? 'done' : look}
      @click=${(event: MouseEvent) => this.#once(event, () => this.#press(cue))}
    >
      ${label}${done ? html` <span aria-hidden="true">✓</span><span class="unseen">, heard</span>` : nothing}
    </button>`;
  }

  protected pad(): TemplateResult {
    return html`<tn-reading-entry
      .unit=${this.model.unit}
      .missing=${this.correcting ? undefined : this.model.missing}
      ?correction=${this.correcting}
      ${on({ act: () => this.close(), closed: () => this.close() })}
    ></tn-reading-entry>`;
  }

  protected correctButton(): TemplateResult | typeof nothing {
    const { question, needles } = this.model;
    if (question !== undefined || (needles.primary === undefined && needles.secondary === undefined)) return nothing;
    return html`<button @click=${() => this.open(true)}>Correct the needles</button>`;
  }

  /** With `tells`, also what was made of it. */
  protected heard(tells = true): TemplateResult {
    const { heard } = this.live;
    return html`<p class="caption ${tells && heard?.used === false ? 'unused' : ''}">
      <b>Heard</b>
      <span
        >${
          heard === undefined
            ? html`<span class="quiet">nothing yet</span>`
            : html`<q>${heard.words}</q> <span class="quiet">${tells ? heard.taken : ''}</span>`
        }</span
      >
    </p>`;
  }

  protected says(): TemplateResult {
    return html`<p class="caption">
      <b>Says</b> <span aria-live="polite">${afterRegion(this.live.spoken.join(' '))}</span>
    </p>`;
  }

  protected newest(): TemplateResult | typeof nothing {
    const newest = this.model.verdicts.at(-1);
    if (newest === undefined) return nothing;
    const { verdict } = newest.result;
    return html`<p class="newest ${toneOf(verdict)}">
      <b><span aria-hidden="true">${VERDICT_MARK[verdict]}</span> ${newest.title}: ${verdict}</b>
    </p>`;
  }

  #earWord(watched: boolean): string {
    const { live } = this;
    return watched ? 'Demo' : live.talking ? 'Talking' : live.speaking ? 'Speaking' : EAR_WORDS[live.ear];
  }

  /** The ear in one word, and its level, where there is no room beside: they are at the top, and stay there. */
  protected earLight(watched = false): TemplateResult {
    const { live } = this;
    return html`<span class="light" aria-hidden="true"
      >${this.#earWord(watched)}
      ${live.ear === 'unavailable' ? nothing : eachBeat(live.pulse, ({ sound }) => html`<tn-level-meter compact .sound=${sound}></tn-level-meter>`)}</span
    >`;
  }

  /** With `watched`, the ear is that of a demo. */
  protected ear(watched = false): TemplateResult {
    const { live } = this;
    return html`<section class="ear ${live.ear}" aria-label="Microphone">
      <p class="ear-line">
        <b>${this.#earWord(watched)}</b>
        <span>${live.earLine}</span>
      </p>
      ${
        live.ear === 'unavailable'
          ? nothing
          : eachBeat(live.pulse, ({ sound }) =>
              sound === undefined ? nothing : html`<tn-level-meter compact .sound=${sound}></tn-level-meter>`,
            )
      }
      ${live.ear === 'unavailable' && !watched ? html`<button @click=${() => this.act({ do: 'microphone' })}>Try the microphone again</button>` : nothing}
    </section>`;
  }

  /** `help` is what the button that shows it is called. */
  protected foot(help: string): TemplateResult {
    const { model, live } = this;
    return html`<footer class="foot">
      ${
        this.#hasPad
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
        <button class=${model.paused ? 'main' : ''} @click=${() => this.#command(model.paused ? 'resume' : 'pause')}>
          ${model.paused ? 'Resume' : 'Pause'}
        </button>
        <button @click=${() => this.#command('go-back')}>Back</button>
        <button @click=${() => this.#command('skip')}>Skip</button>
        <button @click=${() => this.#command('say-again')}>Again</button>
        <button @click=${() => this.showHelp()}>${help}</button>
        <button class="stop" @click=${() => this.#command('stop-check')}>Stop</button>
      </div>
    </footer>`;
  }

  protected act(action: Action, source: 'touch' | 'key' = 'touch'): void {
    sendUp(this, 'act', { action, source });
  }

  /** A thumb that bounces, or taps twice, presses once: what stands at that place then may be a cue of the next step. */
  #once(event: MouseEvent, press: () => void): void {
    const { x, y, at } = this.#lastTap;
    const byHand = event.detail > 0;
    const again = byHand && event.timeStamp - at < BOUNCE_MS && Math.hypot(event.x - x, event.y - y) < BOUNCE_PX;
    if (byHand) this.#lastTap = { x: event.x, y: event.y, at: event.timeStamp };
    if (!again) press();
  }

  #goOn(): void {
    requestAnimationFrame(() => this.focusHeading({ preventScroll: true }));
  }

  #press(cue: string): void {
    this.#pressed = true;
    this.act({ do: 'cue', cue });
  }

  #command(command: Extract<Action, { do: 'command' }>['command']): void {
    this.act({ do: 'command', command });
  }

  /** Opens the pad; with the key event that typed the first digit, if one did. */
  protected open(correction: boolean, first = '', event?: Event): void {
    this.correcting = correction;
    this.entering = true;
    void this.updateComplete.then(() => this.entry?.begin(first, event));
  }

  protected close(): void {
    this.entering = false;
    void this.updateComplete.then(() => this.focusHeading({ preventScroll: true }));
  }

  #talk(down: boolean, event: PointerEvent): void {
    event.preventDefault();
    if (down) (event.currentTarget as HTMLElement).setPointerCapture(event.pointerId);
    if (down) this.#talking.begin('pad');
    else this.#talking.end('pad');
  }

  /** True when the key is the one that talks, and so means nothing else. */
  #talkKeyDown(event: KeyboardEvent, target: EventTarget | undefined): boolean {
    const name = keyName(event);
    const chosen = this.live.talkKey !== '' && name === this.live.talkKey;
    if (!this.live.pushToTalk || (!chosen && (name !== 'Space' || !this.live.keys))) return false;
    if (isTypedInto(target) && event.key.length === 1) return false;
    // A control reached by keyboard keeps its space bar; one that was only touched must not be pressed again by talking.
    const onControl =
      target instanceof HTMLElement && target.matches('button:not(.talk):focus-visible, summary:focus-visible');
    if (name === 'Space' && onControl) return false;
    event.preventDefault();
    if (!event.repeat) this.#talking.begin(`key ${name}`);
    return true;
  }

  #keyDown = (event: KeyboardEvent): void => {
    if (!this.takesKeys) return;
    if (event.key === 'Escape' && this.entering) {
      this.close();
      return;
    }
    if (event.ctrlKey || event.metaKey || event.altKey) return;
    const target = event.composedPath()[0];
    if (this.#talkKeyDown(event, target) || !this.live.keys || event.repeat || isTypedInto(target)) return;
    if (this.otherKeyDown?.(event) === true) {
      event.preventDefault();
      return;
    }
    const shortcut = shortcutFor(event, this.model);
    if (shortcut === undefined) return;
    event.preventDefault();
    if (shortcut.kind === 'act') this.act(shortcut.action, 'key');
    else if (shortcut.kind === 'help') this.showHelp();
    else if (shortcut.kind === 'listening') sendUp(this, 'settings', { pushToTalk: !this.live.pushToTalk });
    else this.open(shortcut.correction, shortcut.first, event);
  };

  #keyUp = (event: KeyboardEvent): void => {
    const hold = `key ${keyName(event)}` as const;
    if (!this.#talking.has(hold)) {
      this.otherKeyUp?.(event);
      return;
    }
    event.preventDefault();
    this.#talking.end(hold);
  };

  #blurred = (): void => this.letKeysGo();
}

function isTypedInto(target: EventTarget | undefined): boolean {
  return (
    (target instanceof HTMLInputElement && target.type !== 'range') ||
    target instanceof HTMLSelectElement ||
    target instanceof HTMLTextAreaElement
  );
}

function focusedIn(root: Node | null): Element | undefined {
  const element = root instanceof ShadowRoot ? root.activeElement : null;
  return element === null ? undefined : (focusedIn(element.shadowRoot) ?? element);
}
