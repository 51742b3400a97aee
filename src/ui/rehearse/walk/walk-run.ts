import { LitElement, html, nothing } from 'lit';
import type { PropertyValues } from 'lit';
import { customElement, property, state } from 'lit/decorators.js';
import { DEFECT_CLASSES, type DefectClass, type Item, type ItemPlace } from '../../../items/item.ts';
import { CLASS_WORDS, type Walked } from '../../../rehearsal/pre-trip/coach-walk.ts';
import { shownWalk, type ShownItem, type ShownWalk } from '../../../rehearsal/pre-trip/shown.ts';
import { LEVEL } from '../../../rehearsal/level.ts';
import { WALK_LEVEL } from '../../../rehearsal/pre-trip/walk.ts';
import type { Action, CheckModel, LiveState } from '../../../running/check-model.ts';
import type { WalkSetup } from '../../../running/live-walk.ts';
import { baseStyles } from '../../shared/base-styles.ts';
import { on, send, sendUp } from '../../shared/events.ts';
import { liveRegion } from '../../shared/live-region.ts';
import { keyName, TalkHolds } from '../../shared/talk-keys.ts';
import './item-picture.ts';
import { walkRunStyles } from './walk-run-styles.ts';
import '../../check/question-panel.ts';
import '../../check/note-entry.ts';

/** A walk on paper under way: one drawing at a time, and how it is. Sends `act` with `Action`s, and `explain`. */
@customElement('tn-walk-run')
export class WalkRun extends LitElement {
  @property({ attribute: false }) setup!: WalkSetup;
  @property({ attribute: false }) model!: CheckModel;
  @property({ attribute: false }) live!: LiveState;
  @property({ attribute: false }) walked!: Walked;
  /** The item that was turned to by hand. */
  @state() private chosen: string | undefined;
  @state() private wrong = false;
  @state() private way = '';
  @state() private told: DefectClass | '' = '';
  /** Which item the drawing is said to be, where none is named. */
  @state() private guess = '';
  @state() private complaint = '';
  #callouts = 0;
  #held = false;
  #item = '';
  readonly #talking = new TalkHolds((down, source) => this.#act({ do: 'talk', down }, source));

  static override styles = [baseStyles, walkRunStyles];

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
    this.#letGo();
  }

  protected override willUpdate(changed: PropertyValues<this>): void {
    const { callouts } = this.walked.check;
    // What was said or called moves the walk on; what was turned to by hand stays until then.
    const isCalled = callouts.length !== this.#callouts;
    this.#callouts = callouts.length;
    const { waits } = shownWalk(this.walked, this.setup.level);
    // Without names, a drawing stays where its defect waits for its class: which one it is of is not told.
    if (isCalled || (this.#held && !waits)) {
      this.#held = !WALK_LEVEL[this.setup.level].names && waits && this.#item !== '';
      this.chosen = this.#held ? this.#item : undefined;
    }
    const item = this.#shown().shown?.item.id ?? '';
    if (item === this.#item && !changed.has('setup')) return;
    this.#item = item;
    this.wrong = false;
    this.way = '';
    this.told = '';
    this.guess = '';
    this.complaint = '';
  }

  override render() {
    const walk = this.#shown();
    const { setup, model, live } = this;
    const { shown, place } = walk;
    return html`<header class="strip">
        <b>Rehearsal</b>
        <span>${LEVEL[setup.level].title}, rig ${setup.seed}</span>
        <span class="at"
          >${place === undefined ? 'End of the walk' : `Place ${walk.placeNumber} of ${walk.places}`}</span
        >
      </header>
      <main>
        <tn-question-panel .question=${model.question}></tn-question-panel>
        ${model.noting ? html`<tn-note-entry></tn-note-entry>` : nothing}
        <section class="task">
          <p class="title">
            ${shown === undefined ? 'End of the walk' : `${shown.place.title}: drawing ${shown.number} of ${shown.place.items.length}`}
          </p>
          <h1 tabindex="-1">${headline(walk, model.paused)}</h1>
          ${walk.named && shown !== undefined ? html`<p class="quiet">${shown.item.look}</p>` : nothing}
          ${WALK_LEVEL[setup.level].counted ? html`<p class="quiet">Faults on this rig: ${this.walked.faults.length}.</p>` : nothing}
        </section>
        ${shown === undefined ? nothing : this.#drawing(walk, shown)} ${this.#foot(walk)}
        <p class="caption">
          <b>Heard</b>
          ${live.heard === undefined ? html`<span class="quiet">nothing yet</span>` : html`<span><q>${live.heard.words}</q> <span class="quiet">${setup.level === 'silent' ? '' : live.heard.taken}</span></span>`}
        </p>
        <p class="caption"><b>Says</b> <span aria-live="polite">${live.spoken.join(' ')}</span></p>
        <p class="caption">
          <b>Ear</b> <span>${live.talking ? 'Talking.' : live.speaking ? 'Speaking.' : ''} ${live.earLine}</span>
        </p>
      </main>`;
  }

  #drawing(walk: ShownWalk, shown: ShownItem) {
    const { drawing, look, called, explained, isBad } = shown;
    const told = explained.class === undefined ? 'class not told' : CLASS_WORDS[explained.class];
    const spot = drawing.spots[explained.spot ?? '']?.words ?? 'nothing pointed at';
    const isTold = called !== undefined && WALK_LEVEL[this.setup.level].names;
    return html`<div class="picture">
        <tn-item-picture
          .drawing=${drawing}
          .look=${look}
          pointed=${explained.spot ?? ''}
          ${on({ spot: (id) => this.#point(shown, id) })}
        ></tn-item-picture>
        <details>
          <summary>Read what is drawn</summary>
          <p>${look.seen}</p>
        </details>
      </div>
      <div class="answer">
        ${liveRegion('status', isTold ? html`<p class="called">Called <b>${called}</b>${isBad ? html`; ${told}; ${spot}` : ''}.</p>` : '')}
        ${walk.named ? nothing : this.#naming(shown)}
        <div class="two">
          <button class="big" @click=${() => this.#good(walk, shown)}>As it must be</button>
          <button class="big wrong" aria-expanded=${this.wrong || isBad} @click=${() => (this.wrong = !this.wrong)}>
            Something is wrong …
          </button>
        </div>
        ${liveRegion('alert', this.complaint, { look: 'complaint' })}
        ${this.wrong || isBad ? this.#ways(walk, shown) : nothing}
      </div>`;
  }

  #naming({ place }: ShownItem) {
    const titles = [...place.items].sort((one, other) => one.title.localeCompare(other.title));
    return html`<label class="field"
      >What is it?
      <select name="guess" @change=${(event: Event) => (this.guess = (event.target as HTMLSelectElement).value)}>
        <option value="" ?selected=${this.guess === ''}>Say it, or choose</option>
        ${titles.map(({ id, title }) => html`<option value=${id} ?selected=${id === this.guess}>${title}</option>`)}
      </select>
    </label>`;
  }

  #ways(walk: ShownWalk, shown: ShownItem) {
    const item = this.#named(walk, shown);
    if (item === undefined) return html`<p>Choose first what it is.</p>`;
    const { measure } = item;
    const spot = shown.drawing.spots[shown.explained.spot ?? '']?.words;
    return html`<form class="ways" novalidate @submit=${(event: SubmitEvent) => this.#bad(event, walk, shown)}>
      <p>1. Point at it in the drawing: <b>${spot ?? 'nothing yet'}</b></p>
      <fieldset>
        <legend>2. How is it?</legend>
        ${[
          ...item.bad.map(({ id, words }) => [id, words[0] ?? id] as const),
          ['defective', 'wrong in another way'] as const,
          ...(measure === undefined ? [] : [['value', `${measure.what} too low`] as const]),
        ].map(
          ([id, words]) =>
            html`<label class="tick"
              ><input
                type="radio"
                name="way"
                value=${id}
                .checked=${this.way === id}
                @change=${() => (this.way = id)}
              />${words}</label
            >`,
        )}
        ${
          this.way === 'value' && measure !== undefined
            ? html`<label class="field"
                >${measure.what}, ${measure.unit}<input name="value" inputmode="numeric" autocomplete="off"
              /></label>`
            : nothing
        }
      </fieldset>
      <fieldset>
        <legend>3. Its class</legend>
        ${DEFECT_CLASSES.map(
          (id) =>
            html`<label class="tick"
              ><input
                type="radio"
                name="class"
                value=${id}
                .checked=${this.told === id}
                @change=${() => this.#classed(shown, id)}
              />${CLASS_WORDS[id]}</label
            >`,
        )}
      </fieldset>
      <button class="main" type="submit">Call it</button>
    </form>`;
  }

  #foot({ shown, previous, next, before, place, left }: ShownWalk) {
    const isLast = place === undefined;
    const { pushToTalk, ear, talking } = this.live;
    return html`<nav class="foot" aria-label="The walk">
      ${
        pushToTalk && ear !== 'unavailable'
          ? html`<button
              class="main"
              aria-pressed=${talking}
              @pointerdown=${(event: PointerEvent) => this.#talk(true, event)}
              @pointerup=${(event: PointerEvent) => this.#talk(false, event)}
              @pointercancel=${(event: PointerEvent) => this.#talk(false, event)}
              @contextmenu=${(event: Event) => event.preventDefault()}
            >
              ${talking ? 'Let go when said' : 'Hold to talk'}
            </button>`
          : nothing
      }
      <button ?disabled=${previous === undefined} @click=${() => this.#turn(previous)}>Previous drawing</button>
      <button ?disabled=${next === undefined} @click=${() => this.#turn(next)}>Next drawing</button>
      ${before === undefined ? nothing : html`<button @click=${() => this.#back(before, isLast)}>Back to ${before.title.toLowerCase()}</button>`}
      ${
        isLast
          ? html`<button class="main" @click=${() => this.#act({ do: 'cue', cue: 'check-complete' })}>
              Check complete
            </button>`
          : html`<button
              class=${left === 0 ? 'main' : ''}
              ?disabled=${shown === undefined}
              @click=${() => this.#move('next')}
            >
              Next place
            </button>`
      }
      <button @click=${() => this.#act({ do: 'command', command: this.model.paused ? 'resume' : 'pause' })}>
        ${this.model.paused ? 'Resume' : 'Pause'}
      </button>
      <button @click=${() => this.#act({ do: 'command', command: 'stop-check' })}>Stop</button>
    </nav>`;
  }

  #shown(): ShownWalk {
    return shownWalk(this.walked, this.setup.level, this.chosen);
  }

  /** The item that the drawing is said to be. */
  #named({ named }: ShownWalk, { item, place }: ShownItem): Item | undefined {
    return named ? item : place.items.find(({ id }) => id === this.guess);
  }

  #point({ item }: ShownItem, spot: string): void {
    send(this, 'explain', { item: item.id, what: { spot } });
    this.chosen = item.id;
    this.wrong = true;
  }

  #classed({ item, isBad }: ShownItem, told: DefectClass): void {
    this.told = told;
    // Called by voice before: its class alone is still to be told.
    if (isBad && this.way === '') send(this, 'explain', { item: item.id, what: { class: told } });
  }

  #good(walk: ShownWalk, shown: ShownItem): void {
    const item = this.#named(walk, shown);
    if (item === undefined) {
      this.complaint = 'Choose first what it is.';
      return;
    }
    this.#items(item, 'good', `${item.names[0] ?? item.id} good`, this.walked.check.items?.[item.id] !== undefined);
  }

  #bad(event: SubmitEvent, walk: ShownWalk, shown: ShownItem): void {
    event.preventDefault();
    const item = this.#named(walk, shown);
    const form = new FormData(event.target as HTMLFormElement);
    const entry = form.get('value');
    const value = typeof entry === 'string' && /^\d+$/.test(entry.trim()) ? Number(entry) : undefined;
    if (item === undefined || this.way === '') this.complaint = 'Say first how it is.';
    else if (this.way === 'value' && value === undefined)
      this.complaint = 'Put in what the gauge reads, a whole number.';
    else if (this.told === '') this.complaint = 'Say also what class it is of.';
    else {
      this.complaint = '';
      send(this, 'explain', {
        item: item.id,
        what: { class: this.told, ...(shown.explained.spot === undefined ? {} : { spot: shown.explained.spot }) },
      });
      const words =
        item.bad.find(({ id }) => id === this.way)?.words[0] ??
        (value === undefined ? 'defective' : `${value} ${item.measure?.unit ?? ''}`);
      this.#items(
        item,
        this.way,
        `${item.names[0] ?? item.id} ${words}`,
        this.walked.check.items?.[item.id] !== undefined,
        value,
      );
    }
  }

  #items(item: Item, is: string, words: string, correction: boolean, value?: number): void {
    const spoken = { item: item.id, state: is, ...(value === undefined ? {} : { value }) };
    this.#act({ do: 'items', items: [spoken], words, correction });
    this.#toHeading();
  }

  #turn(item: string | undefined): void {
    this.chosen = item;
    this.#toHeading();
  }

  /** At its end the walk has no place any more: there, drawings alone are turned to, and what is called of them counts. */
  #back(before: ItemPlace, isLast: boolean): void {
    if (isLast) this.#turn(before.items[0]?.id);
    else this.#move(before.id, `back to ${before.title.toLowerCase()}`);
  }

  #move(to: string, words = to): void {
    this.#act({ do: 'move', to, words });
    this.#toHeading();
  }

  /** What was pressed may go away: the page goes on at the next drawing. */
  #toHeading(): void {
    void this.updateComplete.then(() =>
      requestAnimationFrame(() => {
        const heading = this.renderRoot.querySelector<HTMLElement>('h1');
        heading?.focus({ preventScroll: true });
        heading?.scrollIntoView({ block: 'nearest' });
      }),
    );
  }

  #talk(down: boolean, event: PointerEvent): void {
    event.preventDefault();
    if (down) (event.currentTarget as HTMLElement).setPointerCapture(event.pointerId);
    if (down) this.#talking.begin('pad');
    else this.#talking.end('pad');
  }

  #act(action: Action, source: 'touch' | 'key' = 'touch'): void {
    sendUp(this, 'act', { action, source });
  }

  #keyDown = (event: KeyboardEvent): void => {
    const target = event.composedPath()[0];
    if (event.ctrlKey || event.metaKey || event.altKey) return;
    if (
      target instanceof HTMLInputElement ||
      target instanceof HTMLSelectElement ||
      target instanceof HTMLTextAreaElement
    )
      return;
    const name = keyName(event);
    const { pushToTalk, talkKey } = this.live;
    const onControl = target instanceof HTMLElement && target.matches('button, summary');
    if (pushToTalk && (name === talkKey || (name === 'Space' && !onControl))) {
      event.preventDefault();
      if (!event.repeat) this.#talking.begin(`key ${name}`);
      return;
    }
    if (!this.live.keys || event.repeat) return;
    const { previous, next } = this.#shown();
    if (event.key === 'ArrowLeft' && previous !== undefined) this.#turn(previous);
    if (event.key === 'ArrowRight' && next !== undefined) this.#turn(next);
  };

  #keyUp = (event: KeyboardEvent): void => {
    const hold = `key ${keyName(event)}` as const;
    if (this.#talking.has(hold)) this.#talking.end(hold);
  };

  #letGo = (): void => this.#talking.endAll();
}

function headline({ shown, named, place, left }: ShownWalk, paused: boolean): string {
  if (paused) return 'Paused. Say “resume” or press Resume.';
  if (shown === undefined || (place === undefined && !named)) return 'That was the last place. Call “check complete”.';
  if (named) return shown.item.title;
  return left === 0 ? 'All drawings here were called' : 'What is it, and how is it?';
}

declare global {
  interface HTMLElementTagNameMap {
    'tn-walk-run': WalkRun;
  }
}
