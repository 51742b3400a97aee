import { LitElement, html, nothing } from 'lit';
import { customElement, property, state } from 'lit/decorators.js';
import type { ExaminerEvent } from '../../check/event.ts';
import { placesOf } from '../../check/places.ts';
import type { Plan } from '../../check/plan.ts';
import { AIR_BRAKE_EXAM, markOfItem } from '../../examining/rules.ts';
import type { CheckModel, LiveState } from '../../running/check-model.ts';
import { baseStyles } from '../shared/base-styles.ts';
import { eachBeat } from '../shared/each-beat.ts';
import { sendUp } from '../shared/events.ts';
import { liveRegion } from '../shared/live-region.ts';
import { clockText } from '../shared/words.ts';
import { examStyles } from './exam-styles.ts';

const EAR_WORDS: Readonly<Record<LiveState['ear'], string>> = {
  off: 'The microphone is off.',
  starting: 'The ear is starting.',
  listening: 'Listening.',
  waiting: 'Hold the button while the candidate speaks.',
  unavailable: 'Nothing is heard:',
};

const PART_STATES = ['said', 'done', 'omitted'] as const;

/**
 * What the examiner has in hand while a candidate does the check aloud: the clock, what was heard, remarks and stated limits by touch. It
 * shows no reading, no limit and no outcome before the end, since the candidate may see it.
 */
@customElement('tn-exam-screen')
export class ExamScreen extends LitElement {
  @property({ attribute: false }) model!: CheckModel;
  @property({ attribute: false }) live!: LiveState;
  @property() candidate = '';
  @property({ attribute: false }) plan!: Plan;
  @state() private ending = false;

  static override styles = [baseStyles, examStyles];

  override render() {
    const { model, live } = this;
    return html`<header class="strip">
        <h1 tabindex="-1">Examination</h1>
        <span class="clock" role="timer" aria-label="Clock of the examination"
          >${eachBeat(live.pulse, ({ now }) => clockText(now))}</span
        >
      </header>
      <main>
        <p class="who"><b>${this.candidate === '' ? 'No name given' : this.candidate}</b>, ${this.plan.title}</p>
        <p class="quiet">
          The tool listens and times, and says nothing. What came of it is on the sheet, at the end. Stop the candidate
          yourself where anybody could come to harm.
        </p>
        ${liveRegion(
          'status',
          html`<p class="ear">
            <b>${EAR_WORDS[live.ear]}</b> ${live.earLine}${live.notices.map((line) => html`<br />${line}`)}
          </p>`,
        )}
        <p class="heard">
          <b>Heard</b>
          ${live.heard === undefined ? html`<span class="quiet">nothing yet</span>` : html`<q>${live.heard.words}</q>`}
        </p>
        ${this.#pad()} ${this.#remark()} ${this.#limits()} ${this.#parts()} ${this.#end(model)}
      </main>`;
  }

  #pad() {
    const { live } = this;
    if (!live.pushToTalk || live.ear === 'unavailable') return nothing;
    const talk = (down: boolean) => sendUp(this, 'act', { action: { do: 'talk', down }, source: 'touch' });
    return html`<button class="main" aria-pressed=${live.talking} @click=${() => talk(!live.talking)}>
      ${live.talking ? 'The candidate has spoken' : 'The candidate speaks'}
    </button>`;
  }

  #remark() {
    const { examiner } = this.live;
    const remarks = examiner.filter(({ text }) => text !== undefined);
    return html`<section aria-label="Remarks">
      <h2>Remarks</h2>
      <form @submit=${this.#put}>
        <label class="field">Remark <input name="text" maxlength="300" autocomplete="off" /></label>
        <button>Put down</button>
      </form>
      ${liveRegion(
        'status',
        remarks.length === 0
          ? ''
          : html`<ul>
              ${remarks.toReversed().map(({ at, text }) => html`<li><b>${clockText(at)}</b> ${text}</li>`)}
            </ul>`,
      )}
      <p class="quiet">An empty remark marks the moment.</p>
    </section>`;
  }

  #limits() {
    const { examiner } = this.live;
    const told = new Map(examiner.flatMap(({ limit }) => (limit === undefined ? [] : [[limit.part, limit.stated]])));
    return html`<section aria-label="Limits stated">
      <h2>Did the candidate state the limit?</h2>
      <ul class="limits">
        ${AIR_BRAKE_EXAM.parts
          .filter(({ limit }) => limit === true)
          .map(
            ({ id, title }) =>
              html`<li>
                <span>${title}</span>
                ${[true, false].map(
                  (stated) =>
                    html`<button
                      aria-pressed=${told.get(id) === stated}
                      aria-label="${title}: limit ${stated ? 'stated' : 'not stated'}"
                      @click=${() => this.#act({ limit: { part: id, stated } })}
                    >
                      ${told.get(id) === stated ? '✓ ' : ''}${stated ? 'Stated' : 'Not stated'}
                    </button>`,
                )}
              </li>`,
          )}
      </ul>
    </section>`;
  }

  /** What the ear missed, or could not hear at all; closed while it listens, since the sheet then fills itself. */
  #parts() {
    const { ear } = this.live;
    const { place } = this.model;
    return html`<details class="parts" ?open=${ear === 'unavailable' || ear === 'off'}>
      <summary>Put down a part yourself</summary>
      <p class="quiet">
        What you put down counts on the sheet, beside what was heard. Pressed again, it is taken back: as heard.
      </p>
      ${this.#marked(AIR_BRAKE_EXAM.parts)}
      ${placesOf(this.plan).map(
        ({ title, items }) =>
          html`<details ?open=${place?.items[0]?.id === items[0]?.id}>
            <summary>${title}</summary>
            ${this.#marked(items.map(({ id, title: words }) => ({ id: markOfItem(id), title: words })))}
          </details>`,
      )}
    </details>`;
  }

  #marked(parts: readonly { readonly id: string; readonly title: string }[]) {
    const { examiner } = this.live;
    const told = new Map(examiner.flatMap(({ mark }) => (mark === undefined ? [] : [[mark.part, mark.state]])));
    return html`<ul>
      ${parts.map(
        ({ id, title }) =>
          html`<li>
            <span>${title}</span>
            ${PART_STATES.map((each) => {
              const isTold = told.get(id) === each;
              return html`<button
                aria-pressed=${isTold}
                aria-label="${title}: ${each}"
                @click=${() => this.#act({ mark: { part: id, state: isTold ? 'as heard' : each } })}
              >
                ${isTold ? '✓ ' : ''}${each}
              </button>`;
            })}
          </li>`,
      )}
    </ul>`;
  }

  #end({ paused }: CheckModel) {
    return html`<footer class="foot">
      <button @click=${() => this.#command(paused ? 'resume' : 'pause')}>${paused ? 'Go on' : 'Pause'}</button>
      ${
        this.ending
          ? html`<span>End it now?</span>
              <button class="stop" @click=${this.#stop}>Yes, end it</button>
              <button @click=${() => (this.ending = false)}>No, go on</button>`
          : html`<button class="stop" @click=${() => (this.ending = true)}>End the examination</button>`
      }
    </footer>`;
  }

  #put(event: SubmitEvent): void {
    event.preventDefault();
    const form = event.target as HTMLFormElement;
    const text = new FormData(form).get('text');
    this.#act({ text: typeof text === 'string' && text.trim() !== '' ? text.trim() : 'marked' });
    form.reset();
  }

  #stop(): void {
    this.#command('stop-check');
    this.#command('yes');
  }

  #act(put: Pick<ExaminerEvent, 'text' | 'limit' | 'mark'>): void {
    sendUp(this, 'act', { action: { do: 'examiner', put }, source: 'touch' });
  }

  #command(command: 'pause' | 'resume' | 'stop-check' | 'yes'): void {
    sendUp(this, 'act', { action: { do: 'command', command }, source: 'touch' });
  }

  protected override firstUpdated(): void {
    this.renderRoot.querySelector<HTMLElement>('h1')?.focus();
  }
}

declare global {
  interface HTMLElementTagNameMap {
    'tn-exam-screen': ExamScreen;
  }
}
