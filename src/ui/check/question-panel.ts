import { LitElement, css, html, nothing } from 'lit';
import { customElement, property } from 'lit/decorators.js';
import type { AskReason } from '../../check/answer.ts';
import { baseStyles } from '../shared/base-styles.ts';
import type { Question } from '../../running/check-model.ts';
import { readingText } from '../../running/said.ts';
import { sendUp } from '../shared/events.ts';
import type { Action } from '../../running/check-model.ts';

const BECAUSE: Record<AskReason, string> = {
  'low-confidence': 'It was not heard clearly.',
  implausible: 'The needles can hardly stand there now.',
  'would-fail': 'If that is right, this step fails: “yes” means fail.',
};

/** What the tool asks, with big answers. Takes the focus when a new question comes. */
@customElement('tn-question-panel')
export class QuestionPanel extends LitElement {
  @property({ attribute: false }) question: Question | undefined;
  @property({ type: Boolean, reflect: true }) asking = false;

  static override styles = [
    baseStyles,
    css`
      .ask {
        background: var(--question-ground);
        border: 3px solid var(--accent);
        border-radius: 0.75rem;
        padding: 0.8rem;
        display: grid;
        gap: 0.6rem;
      }
      h2 {
        font-size: 1.35rem;
      }
      .answers {
        display: grid;
        grid-template-columns: repeat(auto-fit, minmax(min(100%, 5.6rem), 1fr));
        gap: 0.5rem;
      }
      .answers button {
        min-height: 4rem;
        padding-inline: 0.3rem;
        font-size: 1.15rem;
      }
    `,
  ];

  protected override willUpdate(): void {
    this.asking = this.question !== undefined;
  }

  override render() {
    const { question } = this;
    if (question === undefined) return nothing;
    switch (question.kind) {
      case 'reading':
        return this.#ask(
          `Heard ${readingText(question.reading)}. Is that right?`,
          [question.reason, BECAUSE[question.because]].filter((line) => line !== undefined).join(' '),
          [
            ['Yes', '', { do: 'command', command: 'yes' }],
            ['No', '', { do: 'command', command: 'no' }],
          ],
          true,
        );
      case 'whose':
        return this.#ask(
          `Heard “${question.words}”. Was that you?`,
          'Until that is said it counts against what is measured. “No” means that somebody else said it.',
          [
            ['Yes', '', { do: 'command', command: 'yes' }],
            ['No', '', { do: 'command', command: 'no' }],
          ],
        );
      case 'stop':
        return this.#ask('Stop the check here?', 'What was called stays in the record; the rest is not judged.', [
          ['Yes, stop', '', { do: 'command', command: 'yes' }],
          ['No, go on', 'main', { do: 'command', command: 'no' }],
        ]);
      case 'skip-reason':
        return this.#ask('Why is this step skipped?', 'The step is then not judged, with this reason.', [
          ...question.reasons.map(
            (reason) => [reason.label, '', { do: 'command', command: 'skip', reason: reason.cue }] as const,
          ),
          ['Do not skip', 'main', { do: 'command', command: 'no' }],
        ]);
    }
  }

  protected override updated(): void {
    // The model is made anew with every event: the same question is still the same.
    const asked = this.question === undefined ? '' : JSON.stringify(this.question);
    if (asked !== '' && asked !== this.#asked) this.renderRoot.querySelector<HTMLElement>('h2')?.focus();
    this.#asked = asked;
  }

  #asked = '';

  #ask(title: string, line: string, answers: readonly (readonly [string, string, Action])[], correctable = false) {
    return html`<section class="ask" aria-label="Question">
      <h2 tabindex="-1" aria-describedby="why">${title}</h2>
      <p id="why">${line}</p>
      <div class="answers">
        ${answers.map(([label, look, action]) => html`<button class=${look} @click=${() => sendUp(this, 'act', { action: action, source: 'touch' })}>${label}</button>`)}
        ${correctable ? html`<button @click=${() => sendUp(this, 'correct')}>Correct…</button>` : nothing}
      </div>
    </section>`;
  }
}

declare global {
  interface HTMLElementTagNameMap {
    'tn-question-panel': QuestionPanel;
  }
}
