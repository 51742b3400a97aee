import { LitElement, css, html, nothing } from 'lit';
import { customElement, property, state } from 'lit/decorators.js';
import { baseStyles } from '../shared/base-styles.ts';
import { UNITS } from '../shared/words.ts';
import { numberIn } from './editor-field.ts';
import { editorStyles } from './editor-styles.ts';
import { LIMIT_WORDS, TEST_WORDS } from './limit-words.ts';
import type { NewLimit } from './profile-draft.ts';
import { liveRegion } from '../shared/live-region.ts';

/** Adds a limit for a figure that has none yet. */
@customElement('tn-add-limit')
export class AddLimit extends LitElement {
  @property({ attribute: false }) open: readonly Pick<NewLimit, 'test' | 'figure'>[] = [];
  /** Adds it, or gives the reason why not. */
  @property({ attribute: false }) add!: (limit: NewLimit) => string | undefined;
  @state() private refused = '';

  static override styles = [
    baseStyles,
    editorStyles,
    css`
      form {
        display: grid;
        gap: 0.7rem;
      }
    `,
  ];

  override render() {
    if (this.open.length === 0) return nothing;
    return html`<details>
      <summary>Add a limit</summary>
      <form class="more" @submit=${this.#submit}>
        <label class="field"
          >For
          <select name="for">
            ${this.open.map(({ test, figure }, at) => html`<option value=${at}>${TEST_WORDS[test]}: ${LIMIT_WORDS[figure].toLowerCase()}</option>`)}
          </select>
        </label>
        <div class="pair">
          <label class="field"
            >Kind
            <select name="bound">
              <option value="max">at most</option>
              <option value="min">at least</option>
            </select>
          </label>
          <label class="field"
            >Value
            <input
              name="value"
              inputmode="decimal"
              autocomplete="off"
              aria-invalid=${this.refused === '' ? 'false' : 'true'}
              aria-describedby=${this.refused === '' ? nothing : 'why-not'}
            />
          </label>
          <label class="field"
            >Pressures in
            <select name="unit">
              ${UNITS.map((unit) => html`<option>${unit}</option>`)}
            </select>
          </label>
        </div>
        ${liveRegion('alert', this.refused, { look: 'why-not', id: 'why-not' })}
        <div><button type="submit">Add it</button></div>
      </form>
    </details>`;
  }

  #submit(event: SubmitEvent): void {
    event.preventDefault();
    const form = event.target as HTMLFormElement;
    const data = new FormData(form);
    const figure = this.open[Number(data.get('for'))];
    const value = data.get('value');
    if (figure === undefined || typeof value !== 'string') return;
    this.refused =
      this.add({
        ...figure,
        bound: data.get('bound') === 'min' ? 'min' : 'max',
        value: numberIn(value),
        unit: data.get('unit') === 'kPa' ? 'kPa' : 'psi',
      }) ?? '';
    if (this.refused === '') form.reset();
  }
}

declare global {
  interface HTMLElementTagNameMap {
    'tn-add-limit': AddLimit;
  }
}
