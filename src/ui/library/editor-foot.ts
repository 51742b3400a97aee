import { LitElement, html } from 'lit';
import { customElement, property, state } from 'lit/decorators.js';
import { baseStyles } from '../shared/base-styles.ts';
import { send } from '../shared/events.ts';
import { liveRegion } from '../shared/live-region.ts';

/** Save, take back, discard. Sends `save`, `undo` and `discard`; with changes, discarding is asked once. */
@customElement('tn-editor-foot')
export class EditorFoot extends LitElement {
  @property({ type: Boolean }) changed = false;
  /** What is to be confirmed before it is saved, in one sentence each. */
  @property({ attribute: false }) doubts: readonly string[] = [];
  @state() private asking = false;
  @state() private doubting = false;

  static override styles = [baseStyles];

  /** Asks whether to discard, or discards at once where nothing was changed. */
  discard(): void {
    if (this.changed && !this.asking) this.#ask(true);
    else this.#send('discard');
  }

  #ask(asking: boolean): void {
    this.asking = asking;
    // The button that had the focus is gone.
    void this.updateComplete.then(() => this.renderRoot.querySelector('button')?.focus());
  }

  override render() {
    if (this.asking) {
      return html`<div class="row">
        ${liveRegion('alert', 'Discard what you changed?')}
        <button class="main" @click=${() => this.#ask(false)}>Go on changing</button>
        <button @click=${() => this.#send('discard')}>Yes, discard</button>
      </div>`;
    }
    if (this.doubting) {
      return html`<div class="row">
        ${liveRegion(
          'alert',
          this.doubts.map((line) => html`<p>${line}</p>`),
        )}
        <button class="main" @click=${() => (this.doubting = false)}>Go on changing</button>
        <button @click=${() => this.#send('save')}>It is meant so: save</button>
      </div>`;
    }
    return html`<div class="row">
      <button class="main" @click=${() => this.#save()}>Save</button>
      <button
        aria-disabled=${this.changed ? 'false' : 'true'}
        @click=${() => {
          if (this.changed) this.#send('undo');
        }}
      >
        Undo
      </button>
      <button @click=${() => this.discard()}>Discard</button>
    </div>`;
  }

  #save(): void {
    if (this.doubts.length === 0) this.#send('save');
    else this.doubting = true;
  }

  #send(name: 'save' | 'undo' | 'discard'): void {
    this.asking = false;
    this.doubting = false;
    send(this, name);
  }
}

declare global {
  interface HTMLElementTagNameMap {
    'tn-editor-foot': EditorFoot;
  }
}
