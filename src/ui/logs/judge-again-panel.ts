import { LitElement, css, html, nothing } from 'lit';
import { customElement, property, state } from 'lit/decorators.js';
import { judgeAgain } from '../../check/judge-again.ts';
import type { LimitProfile } from '../../judging/profile.ts';
import type { Judged } from '../../record/judged.ts';
import { baseStyles } from '../shared/base-styles.ts';
import '../shared/verdict-card.ts';
import { verdictText } from '../shared/verdict-look.ts';
import { tableStyles } from './table-styles.ts';

/** The same measurements under other limits, beside the verdict of the log, which stays. */
@customElement('tn-judge-again')
export class JudgeAgainPanel extends LitElement {
  @property({ attribute: false }) judged!: Judged;
  @property({ attribute: false }) profiles: readonly LimitProfile[] = [];
  @state() private chosen = '';

  static override styles = [
    baseStyles,
    tableStyles,
    css`
      :host {
        display: grid;
        gap: 0.6rem;
      }
      .changed td {
        font-weight: 700;
      }
    `,
  ];

  override render() {
    const { start } = this.judged.state;
    const others = this.profiles.filter(({ id }) => id !== start.profile.id);
    const profile = others.find(({ id }) => id === this.chosen);
    return html`<label class="field"
        >Other limits
        <select @change=${(event: Event) => (this.chosen = (event.target as HTMLSelectElement).value)}>
          <option value="">choose limits</option>
          ${others.map(({ id, title }) => html`<option value=${id} ?selected=${id === this.chosen}>${title}</option>`)}
        </select>
      </label>
      ${profile === undefined ? nothing : this.#beside(profile)}`;
  }

  #beside(profile: LimitProfile) {
    const { state, view } = this.judged;
    const again = judgeAgain(state, profile);
    const now = view.verdict ?? 'incomplete';
    return html`<p class="quiet">${profile.applicability}</p>
      <table>
        <thead>
          <tr>
            <th scope="col">Step</th>
            <th scope="col">In the log</th>
            <th scope="col">Under these limits</th>
          </tr>
        </thead>
        <tbody>
          <tr class=${now === again.verdict ? '' : 'changed'}>
            <td>Whole check</td>
            <td>${verdictText(now)}</td>
            <td>${verdictText(again.verdict)}</td>
          </tr>
          ${view.results.map(({ index, title, verdict }) => {
            const other = again.records.find((record) => record.index === index)?.result.verdict ?? 'not judged';
            return html`<tr class=${other === verdict ? '' : 'changed'}>
              <td>${title}</td>
              <td>${verdictText(verdict)}</td>
              <td>${verdictText(other)}</td>
            </tr>`;
          })}
        </tbody>
      </table>
      <details>
        <summary>Reasons under these limits</summary>
        ${view.results.map(({ index, title }) => html`<tn-verdict-card heading=${title} .result=${again.records.find((record) => record.index === index)?.result}></tn-verdict-card>`)}
      </details>`;
  }
}

declare global {
  interface HTMLElementTagNameMap {
    'tn-judge-again': JudgeAgainPanel;
  }
}
