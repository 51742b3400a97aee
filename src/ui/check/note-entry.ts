import { LitElement, css, html } from 'lit';
import { customElement, query } from 'lit/decorators.js';
import { baseStyles } from '../shared/base-styles.ts';
import { sendUp } from '../shared/events.ts';

/** A note by hand, while one is waited for: typed and kept, or left. */
@customElement('tn-note-entry')
export class NoteEntry extends LitElement {
  @query('input') private field!: HTMLInputElement;

  static override styles = [
    baseStyles,
    css`
      form {
        display: grid;
        gap: 0.5rem;
      }
    `,
  ];

  override render() {
    return html`<form @submit=${this.#keep}>
      <label class="field">Note <input name="note" autocomplete="off" maxlength="400" /></label>
      <div class="row">
        <button class="main" type="submit">Keep the note</button>
        <button type="button" @click=${() => this.#leave()}>No note</button>
      </div>
    </form>`;
  }

  #keep(event: SubmitEvent): void {
    event.preventDefault();
    const text = this.field.value.trim();
    if (text === '') this.#leave();
    else sendUp(this, 'act', { action: { do: 'note', text }, source: 'key' });
  }

  #leave(): void {
    sendUp(this, 'act', { action: { do: 'command', command: 'no' }, source: 'touch' });
  }
}

declare global {
  interface HTMLElementTagNameMap {
    'tn-note-entry': NoteEntry;
  }
}
