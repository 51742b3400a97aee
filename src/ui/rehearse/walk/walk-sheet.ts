import { LitElement, css, html, nothing } from 'lit';
import { customElement, property } from 'lit/decorators.js';
import { lessonsOf } from '../../../rehearsal/lesson.ts';
import { LEVEL } from '../../../rehearsal/level.ts';
import { CLASS_WORDS, type WalkLine } from '../../../rehearsal/pre-trip/coach-walk.ts';
import type { WalkedOver } from '../../../running/live-walk.ts';
import { baseStyles } from '../../shared/base-styles.ts';
import { send } from '../../shared/events.ts';
import { liveRegion } from '../../shared/live-region.ts';
import { sourceText } from '../../shared/words.ts';
import { KIND_WORDS } from '../kind-words.ts';

const LINE: Readonly<Record<WalkLine['is'], { readonly mark: string; readonly words: string }>> = {
  seen: { mark: '✓', words: 'fault seen' },
  missed: { mark: '✕', words: 'fault missed' },
  'false-alarm': { mark: '!', words: 'false alarm' },
  'passed-over': { mark: '–', words: 'passed over' },
  good: { mark: '✓', words: 'as it must be' },
};

/** The coach's sheet of a walk on paper: each item, what was drawn and what was called, the class with its source. */
@customElement('tn-walk-sheet')
export class WalkSheet extends LitElement {
  @property({ attribute: false }) walked!: WalkedOver;
  /** A plain line when the sheet could not be kept. */
  @property() trouble = '';

  static override styles = [
    baseStyles,
    css`
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
      .score > b {
        font-size: 3rem;
        line-height: 1;
        font-variant-numeric: tabular-nums;
      }
      h1 {
        font-size: 1.5rem;
      }
      section {
        display: grid;
        gap: 0.5rem;
      }
      ul {
        list-style: none;
        margin: 0;
        padding: 0;
      }
      li {
        display: grid;
        gap: 0.15rem;
        border-top: 1px solid var(--hair);
        padding-block: 0.45rem;
        overflow-wrap: anywhere;
      }
      .is {
        border: 2px solid currentColor;
        border-radius: 0.3rem;
        padding: 0 0.35rem;
        white-space: nowrap;
        font-weight: 700;
      }
      .missed .is,
      .false-alarm .is {
        color: var(--fail);
      }
      .passed-over .is {
        color: var(--unjudged);
      }
      .seen .is {
        color: var(--pass);
      }
    `,
  ];

  override render() {
    const { setup, report } = this.walked;
    const lines = report.places.flatMap((place) => place.lines);
    const count = (is: WalkLine['is']): number => lines.filter((line) => line.is === is).length;
    const faults = count('seen') + count('missed');
    // What was passed over stands with its place.
    const lessons = lessonsOf(report.findings).filter(({ kind }) => kind !== 'missing');
    return html`<main>
      <h1 tabindex="-1">The coach’s sheet of a walk on paper</h1>
      <p class="caution">
        <b>Rehearsal</b> Drawings were looked at, and no rig. This is no check, and none is kept of it.
      </p>
      <p class="score">
        <b>${report.score}</b>
        <span
          >of 100. ${setup.plan.title}, ${LEVEL[setup.level].title.toLowerCase()}, rig number ${setup.seed},
          ${setup.trainee}.<br />
          ${faults === 0 ? 'This rig had no fault.' : `${count('seen')} of ${faults} faults seen.`} False alarms:
          ${count('false-alarm')}; passed over: ${count('passed-over')}.</span
        >
      </p>
      ${liveRegion('alert', this.trouble)}
      <section aria-label="What there is to learn" ?hidden=${report.findings.length > 0 && lessons.length === 0}>
        <h2>To learn</h2>
        ${
          report.findings.length === 0
            ? html`<p>
                Nothing: every item was said in its order, and every fault named, put into its class and pointed at.
              </p>`
            : html`<ul>
                ${lessons.map(
                  ({ kind, what }) =>
                    html`<li>
                      <span><b>${KIND_WORDS[kind]}.</b> ${what}</span>
                    </li>`,
                )}
              </ul>`
        }
      </section>
      ${report.places.map(
        ({ title, score, lines: own }) =>
          html`<section aria-label=${title}>
            <h2>${title}: ${score}</h2>
            <ul>
              ${own.filter(({ is }) => is !== 'passed-over').map((line) => this.#line(line))}
            </ul>
            ${passedOver(own)}
          </section>`,
      )}
      <p class="row">
        <button class="main" @click=${() => send(this, 'again')}>Another rig</button>
        <button @click=${() => send(this, 'done')}>Done</button>
      </p>
    </main>`;
  }

  #line(line: WalkLine) {
    const { is, title, drawn, called, fault } = line;
    const { mark, words } = LINE[is];
    return html`<li class=${is}>
      <span class="row"
        ><b>${title}</b> <span class="is"><span aria-hidden="true">${mark}</span> ${words}</span></span
      >
      ${is === 'good' ? nothing : html`<span class="quiet">Drawn: ${drawn}</span>`}
      ${is === 'good' ? nothing : html`<span>Called: ${called ?? 'nothing'}.${is === 'seen' ? ` ${toldWords(line)}` : ''}</span>`}
      ${
        fault === undefined
          ? nothing
          : html`<span
              ><b>${fault.words}: ${CLASS_WORDS[fault.class]}.</b>
              <span class="quiet">${sourceText(fault.source)}</span></span
            >`
      }
    </li>`;
  }
}

/** All of a place of which nothing was said, in one line. */
function passedOver(lines: readonly WalkLine[]) {
  const titles = lines.filter(({ is }) => is === 'passed-over').map(({ title }) => title);
  return titles.length === 0
    ? nothing
    : html`<p class="passed-over">
        <span class="is"><span aria-hidden="true">–</span> passed over</span> ${titles.join(', ')}
      </p>`;
}

/** "Named rightly, class right, pointed at elsewhere." */
function toldWords({ named, classed, pointed, told }: WalkLine): string {
  const isClass =
    told === undefined ? 'no class told' : `class ${classed === true ? 'right' : 'wrong'} (${CLASS_WORDS[told]})`;
  const at = pointed === undefined ? 'not pointed at' : pointed ? 'pointed at rightly' : 'pointed at elsewhere';
  return `${named === true ? 'Named rightly' : 'Named otherwise'}, ${isClass}, ${at}.`;
}

declare global {
  interface HTMLElementTagNameMap {
    'tn-walk-sheet': WalkSheet;
  }
}
