import { LitElement, css, html, nothing } from 'lit';
import { customElement, property } from 'lit/decorators.js';
import { repeat } from 'lit/directives/repeat.js';
import type { CheckVerdict, Verdict } from '../../judging/result.ts';
import { baseStyles } from '../shared/base-styles.ts';
import '../shared/verdict-card.ts';
import { VERDICT_MARK, toneOf, verdictStyles } from '../shared/verdict-look.ts';
import { clockText } from '../shared/words.ts';
import type { CheckModel } from '../../running/check-model.ts';
import { checkHref } from '../shell/places.ts';
import { sendUp } from '../shared/events.ts';
import { liveRegion } from '../shared/live-region.ts';

const DO_NOT_DRIVE =
  'Do not drive this rig. Have it looked at under your local rules, and enter the defect where your department keeps them.';

const SAID: Record<CheckVerdict, string> = {
  pass: 'Every step was inside its limit, or called good.',
  marginal: 'Not failed, but at least one step is inside by less than the reading error, or has something to report.',
  fail: 'Outside its limit or out of service:',
  incomplete: 'Not every step was judged.',
};

/** What matters most comes first. */
const GROUPS: readonly { readonly verdict: Verdict; readonly heading: string }[] = [
  { verdict: 'fail', heading: 'Failed: outside the limit, or out of service' },
  { verdict: 'marginal', heading: 'Marginal: inside by less than the reading error, or something to report' },
  { verdict: 'not judged', heading: 'Not judged' },
  { verdict: 'pass', heading: 'Passed' },
];

/** What was measured against which limit, when a check has ended. It never calls a rig safe. */
@customElement('tn-end-screen')
export class EndScreen extends LitElement {
  @property({ attribute: false }) model!: CheckModel;
  /** Id of the check, under which its log is found; empty for a demo. */
  @property() check = '';
  @property() rigName = '';
  @property() profileTitle = '';
  /** Whom the limits bind; shown behind “why?”. */
  @property() applicability = '';
  @property({ type: Boolean }) demo = false;
  /** A plain line when the record could not be kept. */
  @property({ attribute: false }) notices: readonly string[] = [];

  static override styles = [
    baseStyles,
    verdictStyles,
    css`
      main {
        display: grid;
        gap: 0.9rem;
        padding: 1rem;
        max-width: 52rem;
        margin-inline: auto;
      }
      .outcome {
        display: flex;
        /* At twice the size on a phone the mark stands above its words. */
        flex-wrap: wrap;
        gap: 0.8rem;
        align-items: center;
        border: 3px solid currentColor;
        border-radius: 0.75rem;
        padding: 0.8rem;
      }
      .outcome div {
        flex: 1 1 7.5rem;
      }
      .outcome .mark {
        font-size: 2.4rem;
        font-weight: 900;
        line-height: 1;
      }
      h1 {
        font-size: 1.6rem;
      }
      .do-not {
        background: var(--fail-ground);
        border: 2px solid var(--fail);
        color: var(--on-fail);
        border-radius: 0.5rem;
        padding: 0.8rem;
        font-weight: 700;
      }
      .next {
        display: grid;
        gap: 0.6rem;
        grid-template-columns: repeat(auto-fit, minmax(min(100%, 15rem), 1fr));
      }
      .next button {
        min-height: 3.6rem;
      }
    `,
  ];

  override render() {
    const { model } = this;
    const end = model.finished;
    if (end === undefined) return nothing;
    return html`<main>
      <div class="outcome ${toneOf(end.verdict)}">
        <span class="mark" aria-hidden="true">${VERDICT_MARK[end.verdict]}</span>
        <div>
          <h1 tabindex="-1">${this.demo ? 'Demo check' : this.rigName}: ${end.verdict}</h1>
          <p>
            ${SAID[end.verdict]}${this.#failed()}${end.stopped ? ' The check was stopped early.' : ''}${end.seconds === undefined ? '' : ` It took ${clockText(end.seconds * 1000)}.`}
          </p>
        </div>
      </div>
      ${end.verdict === 'fail' ? liveRegion('alert', DO_NOT_DRIVE, { look: 'do-not' }) : nothing}
      <p class="caution">
        <b>Note</b> This lists what was called, measured against the limits of “${this.profileTitle}”. Local codes, the
        maker’s manual and licensed technicians come first.
      </p>
      ${liveRegion(
        'status',
        this.notices.map((line) => html`<p>${line}</p>`),
      )}
      ${GROUPS.map(({ verdict, heading }) => this.#group(verdict, heading))}
      <div class="next">
        ${
          this.check === ''
            ? nothing
            : html`<button @click=${() => sendUp(this, 'leave', checkHref(this.check))}>
                  ${end.verdict === 'fail' ? 'The log: report, export, note a repair' : 'The log: report and export'}
                </button>
                <button @click=${() => sendUp(this, 'again')}>Check ${this.rigName} again</button>`
        }
        <button class="main" @click=${() => sendUp(this, 'leave', '#')}>Back to the start</button>
      </div>
    </main>`;
  }

  #failed() {
    const titles = this.model.verdicts.filter(({ result }) => result.verdict === 'fail').map(({ title }) => title);
    return titles.length === 0 ? nothing : html` <b>${titles.join(', ')}</b>.`;
  }

  #group(verdict: Verdict, heading: string) {
    const steps = this.model.verdicts.filter(({ result }) => result.verdict === verdict);
    if (steps.length === 0) return nothing;
    return html`<section aria-label=${heading}>
      <h2>${heading}</h2>
      ${repeat(
        steps,
        ({ id }) => id,
        ({ title, result }) =>
          html`<tn-verdict-card
            heading=${title}
            .result=${result}
            applicability=${this.applicability}
          ></tn-verdict-card>`,
      )}
    </section>`;
  }

  protected override firstUpdated(): void {
    this.renderRoot.querySelector<HTMLElement>('h1')?.focus();
  }
}

declare global {
  interface HTMLElementTagNameMap {
    'tn-end-screen': EndScreen;
  }
}
