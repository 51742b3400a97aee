import { LitElement, css, html, nothing } from 'lit';
import { customElement, property } from 'lit/decorators.js';
import type { FaultCalled } from '../../rehearsal/coach-faults.ts';
import { lessonsOf, type Lesson } from '../../rehearsal/lesson.ts';
import { LEVEL } from '../../rehearsal/level.ts';
import { samplesOf } from '../../rehearsal/trace.ts';
import { baseStyles } from '../shared/base-styles.ts';
import { toneOf, verdictStyles, verdictText } from '../shared/verdict-look.ts';
import { clockText } from '../shared/words.ts';
import { KIND_WORDS } from './kind-words.ts';
import type { Rehearsed } from '../../running/live-rehearsal.ts';
import { needleCurves } from './needle-curves.ts';
import { send } from '../shared/events.ts';
import { liveRegion } from '../shared/live-region.ts';

const OUTCOMES: Readonly<Record<FaultCalled['outcome'], { readonly mark: string; readonly words: string }>> = {
  called: { mark: '✓', words: 'called' },
  missed: { mark: '✕', words: 'not called' },
  hidden: { mark: '–', words: 'too small to show in this check' },
};

/** Below this width of the window a picture is drawn narrower, so that its words stay readable. */
const NARROW = 600;

/** The coach's sheet of a rehearsal that is over: score by step, each finding with its moment and the needles around it. */
@customElement('tn-score-sheet')
export class ScoreSheet extends LitElement {
  @property({ attribute: false }) rehearsed!: Rehearsed;
  /** A plain line when the sheet could not be kept. */
  @property() trouble = '';

  static override styles = [
    baseStyles,
    verdictStyles,
    css`
      :host {
        container-type: inline-size;
      }
      main {
        display: grid;
        gap: 1rem;
        padding: 1rem;
        max-width: 60rem;
        margin-inline: auto;
      }
      .score {
        display: flex;
        gap: 1rem;
        align-items: center;
        border: 3px solid var(--rule);
        border-radius: 0.75rem;
        padding: 0.8rem;
      }
      .score b {
        font-size: 3rem;
        line-height: 1;
        white-space: nowrap;
        overflow-wrap: normal;
        font-variant-numeric: tabular-nums;
      }
      h1 {
        font-size: 1.5rem;
      }
      section {
        display: grid;
        gap: 0.5rem;
        min-width: 0;
      }
      dl {
        display: grid;
        grid-template-columns: auto 1fr;
        gap: 0.15rem 0.9rem;
        margin: 0;
      }
      dt {
        color: var(--quiet);
      }
      dd {
        margin: 0;
        overflow-wrap: anywhere;
      }
      table {
        border-collapse: collapse;
        width: 100%;
      }
      th,
      td {
        text-align: left;
        padding: 0.3rem 0.5rem 0.3rem 0;
        border-bottom: 1px solid var(--hair);
        vertical-align: top;
      }
      td {
        white-space: nowrap;
      }
      .number {
        text-align: right;
        font-variant-numeric: tabular-nums;
        font-weight: 700;
      }
      .faults {
        list-style: none;
        margin: 0;
        padding: 0;
        display: grid;
        gap: 0.4rem;
      }
      .faults b {
        border: 2px solid currentColor;
        border-radius: 0.3rem;
        padding: 0 0.35rem;
        white-space: nowrap;
      }
      ol {
        margin: 0;
        padding: 0;
        list-style: none;
        display: grid;
        gap: 0.8rem;
      }
      .finding {
        display: grid;
        gap: 0.3rem;
        border-left: 0.4rem solid var(--marginal);
        padding-left: 0.7rem;
      }
      .curves {
        display: block;
        width: 100%;
        height: auto;
      }
      .finding .curves {
        max-width: 34rem;
      }
      .curves text {
        font-size: 15px;
        fill: var(--quiet);
      }
      .curves .label {
        fill: var(--ink);
        font-weight: 700;
      }
      .grid {
        stroke: var(--hair);
        stroke-width: 0.5;
      }
      .span {
        fill: var(--panel);
      }
      polyline {
        fill: none;
        stroke-width: 2.5;
      }
      .primary {
        stroke: var(--primary-needle);
      }
      .secondary {
        stroke: var(--secondary-needle);
        stroke-dasharray: 7 4;
      }
      .moment {
        stroke: var(--fail);
        stroke-width: 2;
      }
      .legend span {
        font-weight: 700;
        margin-right: 0.8rem;
      }
      .legend .first {
        color: var(--primary-needle);
      }
      .legend .second {
        color: var(--secondary-needle);
      }
      /* A phone with text twice as large: a name over its value, and words that may break. */
      @container (max-width: 16rem) {
        .score {
          flex-wrap: wrap;
        }
        table {
          font-size: 0.75rem;
        }
        th,
        td {
          padding-right: 0.2rem;
        }
        dl {
          grid-template-columns: minmax(0, 1fr);
        }
        table {
          table-layout: fixed;
          hyphens: auto;
        }
        th,
        td {
          white-space: normal;
          overflow-wrap: anywhere;
        }
      }
    `,
  ];

  override render() {
    const { report, setup } = this.rehearsed;
    const lessons = lessonsOf(report.findings);
    return html`<main>
      <div class="score">
        <b>${report.score}</b>
        <div>
          <h1 tabindex="-1">Score ${report.score} of 100</h1>
          <p>${this.#summary(lessons.length)}</p>
        </div>
      </div>
      ${liveRegion('status', this.trouble)}
      <p class="caution">
        <b>Note</b> This was a simulated rig. On a real one local codes, the maker’s manual and licensed technicians
        come first.
      </p>
      ${this.#about()} ${this.#faults()} ${this.#timeline(lessons)} ${this.#findings(lessons)} ${this.#steps()}
      <div class="row">
        <button class="main" @click=${() => this.#send('again')}>Rehearse it again</button>
        <button @click=${() => this.#send('done')}>Back to the rehearsals</button>
      </div>
      <p class="quiet">Every step of ${setup.plan.title} begins with 100 and loses points with each finding in it.</p>
    </main>`;
  }

  protected override firstUpdated(): void {
    this.renderRoot.querySelector<HTMLElement>('h1')?.focus();
  }

  #summary(length: number): string {
    const stopped = this.rehearsed.check.stopped ? ' It was stopped early.' : '';
    if (length === 0) return `Nothing to find: all was called right.${stopped}`;
    return `${length === 1 ? 'One finding' : `${length} findings`}, each below with its moment.${stopped}`;
  }

  #about() {
    const { setup, check, cab } = this.rehearsed;
    const holds = setup.plan.steps.flatMap(({ holdSeconds }) => holdSeconds ?? []);
    const { start, end } = check.clock;
    return html`<section aria-label="What was rehearsed">
      <dl>
        ${
          setup.trainee === ''
            ? nothing
            : html`<dt>Trainee</dt>
                <dd>${setup.trainee}</dd>`
        }
        <dt>Scenario</dt>
        <dd>${setup.scenario.title}${setup.seed === undefined ? '' : html`, seed <b>${setup.seed}</b>`}</dd>
        <dt>Level</dt>
        <dd>${LEVEL[setup.level].title}</dd>
        <dt>Plan</dt>
        <dd>${setup.plan.title}</dd>
        ${
          holds.length === 0
            ? nothing
            : html`<dt>Holds</dt>
                <dd>${[...new Set(holds)].join(' and ')} s</dd>`
        }
        <dt>Limits</dt>
        <dd>${setup.profile.title}</dd>
        <dt>Check as called</dt>
        <dd>
          ${verdictText(check.verdict ?? 'incomplete')},
          ${start === undefined ? `${clockText(cab.at)} in the cab` : `${clockText((end ?? check.now) - start)} on the clock`}
        </dd>
      </dl>
    </section>`;
  }

  #faults() {
    const { faults } = this.rehearsed.report;
    return html`<section aria-label="What was wrong with the rig">
      <h2>What was wrong with the rig</h2>
      ${
        faults.length === 0
          ? html`<p>Nothing.</p>`
          : html`<ul class="faults">
              ${faults.map(({ words, outcome }) => {
                const tone = outcome === 'called' ? 'pass' : outcome === 'missed' ? 'fail' : '';
                return html`<li>
                  <b class=${tone}
                    ><span aria-hidden="true">${OUTCOMES[outcome].mark}</span> ${OUTCOMES[outcome].words}</b
                  >
                  ${capital(words)}.
                </li>`;
              })}
            </ul>`
      }
    </section>`;
  }

  #timeline(lessons: readonly Lesson[]) {
    const { cab, report, setup } = this.rehearsed;
    const told = `Both needles over the ${clockText(cab.at)} of the rehearsal, with ${lessons.length} findings marked. Each finding is told below.`;
    return html`<section aria-label="Timeline">
      <h2>The needles</h2>
      ${needleCurves({
        samples: samplesOf(cab.trace),
        moments: lessons.map(({ at }, index) => ({ at, label: String(index + 1) })),
        spans: report.steps,
        unit: setup.scenario.rig.gauge.unit,
        width: window.innerWidth < NARROW ? 400 : 760,
        height: 240,
        told,
      })}
      <p class="legend">
        <span class="first">— primary</span><span class="second">┄ secondary</span>
        <span class="quiet">${setup.scenario.rig.gauge.unit}, the steps as bands</span>
      </p>
    </section>`;
  }

  #findings(lessons: readonly Lesson[]) {
    const { report, setup } = this.rehearsed;
    if (lessons.length === 0) return nothing;
    const titles = new Map(report.steps.map(({ step, title }) => [step, title]));
    return html`<section aria-label="Findings">
      <h2>What to work on</h2>
      <ol>
        ${lessons.map(({ kind, steps, at, what, curve }, index) => {
          const about = `Both needles from ${clockText(curve[0]?.at ?? at)} to ${clockText(curve.at(-1)?.at ?? at)}, around finding ${index + 1}.`;
          return html`<li class="finding">
            <p>
              <b>${index + 1}. ${KIND_WORDS[kind]}</b>
              <span class="quiet"
                >at ${clockText(at)}, ${steps.map((step) => titles.get(step) ?? step).join('; ')}</span
              >
            </p>
            <p>${what}</p>
            ${needleCurves({
              samples: curve,
              moments: [{ at, label: String(index + 1) }],
              unit: setup.scenario.rig.gauge.unit,
              width: window.innerWidth < NARROW ? 380 : 520,
              height: 150,
              told: about,
            })}
          </li>`;
        })}
      </ol>
    </section>`;
  }

  #steps() {
    return html`<section aria-label="Score by step">
      <h2>Score by step</h2>
      <table>
        <thead>
          <tr>
            <th scope="col">Step</th>
            <th scope="col">As called</th>
            <th scope="col" class="number">Score</th>
          </tr>
        </thead>
        <tbody>
          ${this.rehearsed.report.steps.map(
            ({ title, verdict, score }) =>
              html`<tr>
                <th scope="row">${title}</th>
                <td class=${toneOf(verdict)}>${verdictText(verdict)}</td>
                <td class="number">${score}</td>
              </tr>`,
          )}
        </tbody>
      </table>
    </section>`;
  }

  #send(name: 'again' | 'done'): void {
    send(this, name);
  }
}

function capital(text: string): string {
  return text.charAt(0).toUpperCase() + text.slice(1);
}

declare global {
  interface HTMLElementTagNameMap {
    'tn-score-sheet': ScoreSheet;
  }
}
