import { LitElement, css, html } from 'lit';
import { customElement, property } from 'lit/decorators.js';
import { live } from 'lit/directives/live.js';
import type { Choices, Filter } from '../../audit/filter.ts';
import { baseStyles } from '../shared/base-styles.ts';
import { verdictText } from '../shared/verdict-look.ts';
import { filterOf } from './filter-query.ts';
import { send } from '../shared/events.ts';

/** What the list of checks is narrowed by. Sends `filter` with the whole filter at every change. */
@customElement('tn-log-filter')
export class LogFilter extends LitElement {
  @property({ attribute: false }) filter: Filter = {};
  @property({ attribute: false }) choices: Choices = { rigs: [], operators: [], steps: [] };

  static override styles = [
    baseStyles,
    css`
      form {
        display: grid;
        gap: 0.6rem;
        grid-template-columns: repeat(auto-fill, minmax(min(10rem, 100%), 1fr));
        align-items: end;
      }
      .ticks {
        grid-column: 1 / -1;
        display: flex;
        flex-wrap: wrap;
        gap: 0 1.2rem;
        align-items: center;
      }
    `,
  ];

  override render() {
    const { filter, choices } = this;
    return html`<form role="search" aria-label="Filter the checks" @input=${this.#changed} @submit=${stay}>
      <label class="field"
        >Text <input name="text" type="search" .value=${live(filter.text ?? '')} autocomplete="off"
      /></label>
      ${this.#select(
        'Rig',
        'rig',
        choices.rigs.map(({ id, name }) => [id, name]),
      )}
      ${this.#select(
        'Operator',
        'operator',
        choices.operators.map((name) => [name, name]),
      )}
      ${this.#select(
        'Step',
        'step',
        choices.steps.map(({ id, title }) => [id, title]),
      )}
      ${this.#select(
        filter.step === undefined ? 'Verdict' : 'Verdict of the step',
        'verdict',
        ['pass', 'marginal', 'fail', filter.step === undefined ? 'incomplete' : 'not judged'].map((verdict) => [
          verdict,
          verdictText(verdict),
        ]),
      )}
      <label class="field">From <input name="from" type="date" .value=${live(filter.from ?? '')} /></label>
      <label class="field">To <input name="to" type="date" .value=${live(filter.to ?? '')} /></label>
      <div class="ticks">
        ${tick('drifting', 'Rigs that drift', filter.drifting)}
        ${tick('unsigned', 'Not countersigned', filter.unsigned)}
        ${tick('troubled', 'Not as it was sealed', filter.troubled)}
        <button type="button" class="plain" @click=${() => this.#send({})}>Clear the filter</button>
      </div>
    </form>`;
  }

  #select(label: string, name: 'rig' | 'operator' | 'step' | 'verdict', options: readonly (readonly string[])[]) {
    const value = this.filter[name];
    return html`<label class="field"
      >${label}
      <select name=${name}>
        <option value="" .selected=${live(value === undefined)}>any</option>
        ${options.map(([id, title]) => html`<option value=${id} .selected=${live(id === value)}>${title}</option>`)}
      </select>
    </label>`;
  }

  #changed(event: Event): void {
    const { form } = event.target as HTMLInputElement;
    if (form === null) return;
    const query = new URLSearchParams();
    for (const [name, value] of new FormData(form)) if (typeof value === 'string') query.set(name, value);
    this.#send(filterOf(query.toString()));
  }

  #send(filter: Filter): void {
    send(this, 'filter', filter);
  }
}

function tick(name: string, label: string, on: true | undefined) {
  return html`<label class="tick"
    ><input type="checkbox" name=${name} value="1" .checked=${live(on === true)} />${label}</label
  >`;
}

function stay(event: Event): void {
  event.preventDefault();
}

declare global {
  interface HTMLElementTagNameMap {
    'tn-log-filter': LogFilter;
  }
}
