import { LitElement, css, html, nothing, svg } from 'lit';
import { customElement, property, state } from 'lit/decorators.js';
import { LEVEL } from '../../rehearsal/level.ts';
import type { Progress } from '../../rehearsal/progress.ts';
import { progressOf } from '../../rehearsal/progress.ts';
import { baseStyles } from '../shared/base-styles.ts';
import { idInWords } from '../../answering/written.ts';
import { KIND_WORDS } from './kind-words.ts';
import type { Past } from './past.ts';
import type { CheckHead } from '../../record/record-store.ts';
import { send } from '../shared/events.ts';
import { VERDICT_MARK } from '../shared/verdict-look.ts';
import { saveFile } from '../library/save-file.ts';
import { checkHref } from '../shell/places.ts';
import { doneBy, progressCsv, type Done } from './trainee-progress.ts';

const WIDTH = 420;
const HEIGHT = 150;
const LEFT = 34;
const RIGHT = 12;
const TOP = 12;
const BOTTOM = 24;
/** The list shows so many; the scores tell of all. */
const MOST_LISTED = 30;
const MOST_STEPS = 3;

/** How a trainee comes along: scores over time, what is weak, the rehearsals one by one. Sends `remove` with an id. */
@customElement('tn-past-rehearsals')
export class PastRehearsals extends LitElement {
  /** Newest first, of all trainees. */
  @property({ attribute: false }) past: readonly Past[] = [];
  /** Checks kept here, of all operators. */
  @property({ attribute: false }) checks: readonly CheckHead[] = [];
  @property() trainee = '';
  /** Titles by the ids of scenarios and of steps, where they are known. */
  @property({ attribute: false }) titles: ReadonlyMap<string, string> = new Map();
  /** Set when the rehearsals are lost with the page. */
  @property({ type: Boolean }) fleeting = false;
  @state() private removing = '';

  static override styles = [
    baseStyles,
    css`
      :host {
        display: grid;
        gap: 0.8rem;
        align-content: start;
      }
      svg {
        display: block;
        width: 100%;
        height: auto;
      }
      text {
        font-size: 13px;
        fill: var(--quiet);
      }
      .grid {
        stroke: var(--hair);
        stroke-width: 0.5;
      }
      polyline {
        fill: none;
        stroke: var(--accent);
        stroke-width: 2.5;
      }
      circle {
        fill: var(--accent);
      }
      ul {
        list-style: none;
        margin: 0;
        padding: 0;
      }
      li {
        display: grid;
        grid-template-columns: 2.6rem 1fr auto;
        gap: 0.6rem;
        align-items: center;
        border-top: 1px solid var(--hair);
        padding-block: 0.4rem;
      }
      .score {
        font-size: 1.3rem;
        font-weight: 800;
        text-align: right;
        font-variant-numeric: tabular-nums;
      }
      .sure {
        grid-column: 1 / -1;
      }
    `,
  ];

  override render() {
    const done = doneBy(this.trainee, this.past, this.checks);
    const progress = progressOf(this.past, this.trainee);
    return html`<h2 tabindex="-1">${this.trainee === '' ? 'Progress' : `Progress of ${this.trainee}`}</h2>
      <div role="status">
        ${this.fleeting ? html`<p>This browser keeps nothing here: the rehearsals are lost when the page closes.</p>` : nothing}
      </div>
      ${progress === undefined ? this.#empty() : this.#progress(progress)}
      ${
        done.length === 0
          ? nothing
          : html`<ul aria-label="Past rehearsals and checks">
                ${done.slice(0, MOST_LISTED).map((one) => (one.kind === 'check' ? this.#check(one.check) : this.#one(one.rehearsal)))}
              </ul>
              ${done.length > MOST_LISTED ? html`<p class="quiet">and ${done.length - MOST_LISTED} older ones</p>` : nothing}
              <p class="row"><button @click=${() => this.#save(done)}>Save as a table (CSV)</button></p>`
      }`;
  }

  #empty() {
    const others = [...new Set(this.past.map(({ trainee }) => trainee))];
    return html`<p>
        ${this.trainee === '' ? 'Put in a name to see how a trainee comes along.' : 'No rehearsal yet under this name. The first one begins with the button.'}
      </p>
      ${others.length === 0 ? nothing : html`<p class="quiet">Kept on this device: ${others.join(', ')}.</p>`}`;
  }

  #progress({ scores, best, latest, gain, clean, weakest, recurring }: Progress) {
    const gained =
      gain === undefined ? '' : ` ${gain >= 0 ? 'Up' : 'Down'} ${Math.abs(Math.round(gain))} on the three before.`;
    return html`<p>
        <b>Latest ${latest}</b>, best ${best}, ${scores.length} in all, ${clean} without a finding.${gained}
      </p>
      ${this.#chart(scores)}
      ${
        weakest.length === 0
          ? nothing
          : html`<p>
              <b>Weakest of late:</b> ${weakest
                .slice(0, MOST_STEPS)
                .map(({ step, mean }) => `${this.#title(step)} (${Math.round(mean)})`)
                .join(', ')}.
            </p>`
      }
      ${recurring.length === 0 ? nothing : html`<p><b>Keeps happening:</b> ${recurring.map((kind) => KIND_WORDS[kind].toLowerCase()).join(', ')}.</p>`}`;
  }

  #chart(scores: Progress['scores']) {
    if (scores.length < 2) return nothing;
    const x = (index: number): number => LEFT + ((WIDTH - LEFT - RIGHT) * index) / (scores.length - 1);
    const y = (score: number): number => HEIGHT - BOTTOM - ((HEIGHT - TOP - BOTTOM) * score) / 100;
    const day = (wall: string | undefined): string =>
      new Date(wall ?? '').toLocaleDateString([], { day: 'numeric', month: 'short' });
    const told = `Scores of ${scores.length} rehearsals, from ${scores[0]?.score ?? 0} to ${scores.at(-1)?.score ?? 0}.`;
    return html`<svg viewBox="0 0 ${WIDTH} ${HEIGHT}" role="img" aria-label=${told}>
      ${[0, 50, 100].map((score) => svg`<line class="grid" x1=${LEFT} x2=${WIDTH - RIGHT} y1=${y(score)} y2=${y(score)} /><text x=${LEFT - 5} y=${y(score) + 4} text-anchor="end">${score}</text>`)}
      <polyline points=${scores.map(({ score }, index) => `${x(index)},${y(score)}`).join(' ')} />
      ${scores.length > 60 ? nothing : scores.map(({ score }, index) => svg`<circle cx=${x(index)} cy=${y(score)} r="4" />`)}
      <text x=${LEFT} y=${HEIGHT - 6}>${day(scores[0]?.wall)}</text>
      <text x=${WIDTH - RIGHT} y=${HEIGHT - 6} text-anchor="end">${day(scores.at(-1)?.wall)}</text>
    </svg>`;
  }

  /** A check on a rig, an examination too; its log says the rest. */
  #check({ id, startedAt, rigName, planTitle, verdict = 'incomplete', trouble, examination }: CheckHead) {
    const when = new Date(startedAt).toLocaleString([], { dateStyle: 'medium', timeStyle: 'short' });
    return html`<li>
      <span class="score" aria-hidden="true">${trouble === undefined ? VERDICT_MARK[verdict] : '?'}</span>
      <span
        >${examination === true ? 'Examination: ' : ''}${planTitle} on ${rigName}:
        ${trouble === undefined ? verdict : 'a log that is not to be trusted'}<br /><span class="quiet"
          >${when}</span
        ></span
      >
      <a href=${checkHref(id)}>Log<span class="unseen"> of ${planTitle}, ${when}</span></a>
    </li>`;
  }

  #save(done: readonly Done[]): void {
    const table = progressCsv(this.trainee, done, (id) => this.#title(id));
    saveFile(
      `progress-${this.trainee.toLowerCase().replaceAll(/[^a-z0-9]+/g, '-')}.csv`,
      new Blob([table], { type: 'text/csv' }),
    );
  }

  #one({ id, wall, scenario, level, score, kinds }: Past) {
    const when = new Date(wall).toLocaleString([], { dateStyle: 'medium', timeStyle: 'short' });
    return html`<li>
      <span class="score">${score}</span>
      <span
        >${this.#title(scenario)}<br /><span class="quiet"
          >${when}, ${LEVEL[level].title.toLowerCase()},
          ${kinds.length === 0 ? 'no finding' : kinds.length === 1 ? '1 finding' : `${kinds.length} findings`}</span
        ></span
      >
      ${
        this.removing === id
          ? html`<span class="row sure" role="group" aria-label="Delete this rehearsal?">
              <b>Delete this rehearsal?</b>
              <button @click=${() => this.#remove(id)}>Yes, delete</button>
              <button class="keep" @click=${() => this.#ask('')}>Keep it</button>
            </span>`
          : html`<button @click=${() => this.#ask(id)}>
              Delete<span class="unseen"> the rehearsal of ${when}</span>
            </button>`
      }
    </li>`;
  }

  #title(id: string): string {
    return this.titles.get(id) ?? idInWords(id);
  }

  #ask(id: string): void {
    this.removing = id;
    void this.updateComplete.then(() =>
      this.renderRoot.querySelector<HTMLElement>(id === '' ? 'h2' : '.keep')?.focus(),
    );
  }

  #remove(id: string): void {
    this.#ask('');
    send(this, 'remove', id);
  }
}

declare global {
  interface HTMLElementTagNameMap {
    'tn-past-rehearsals': PastRehearsals;
  }
}
