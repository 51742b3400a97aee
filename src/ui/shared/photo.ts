import { LitElement, css, html } from 'lit';
import type { PropertyValues } from 'lit';
import { customElement, property, state } from 'lit/decorators.js';
import { baseStyles } from './base-styles.ts';

/** A photo of the record, small; pressed, as large as there is room for. Says so where it is not kept any more. */
@customElement('tn-photo')
export class Photo extends LitElement {
  /** Its id among the clips. */
  @property() clip = '';
  /** What it shows, in words. */
  @property() words = '';
  @property({ attribute: false }) picture!: (id: string) => Promise<Blob | undefined>;
  @state() private shown: 'reading' | 'gone' | 'small' | 'large' = 'reading';
  #url = '';

  static override styles = [
    baseStyles,
    css`
      button {
        padding: 0;
        overflow: hidden;
        display: block;
      }
      img {
        display: block;
        width: 6rem;
        height: 4.5rem;
        object-fit: cover;
      }
      .large {
        width: 100%;
        height: auto;
      }
    `,
  ];

  protected override willUpdate(changed: PropertyValues<this>): void {
    if (changed.has('clip')) void this.#read(this.clip);
  }

  override render() {
    const { shown, words } = this;
    if (shown === 'reading') return html`<span class="quiet">Reading ${words}.</span>`;
    if (shown === 'gone') return html`<span class="quiet">${words}: not kept any more</span>`;
    const large = shown === 'large';
    return html`<button
      aria-label="${words}: ${large ? 'smaller' : 'larger'}"
      @click=${() => (this.shown = large ? 'small' : 'large')}
    >
      <img class=${large ? 'large' : ''} src=${this.#url} alt=${words} @error=${() => (this.shown = 'gone')} />
    </button>`;
  }

  async #read(id: string): Promise<void> {
    const picture = await this.picture(id);
    if (id !== this.clip || !this.isConnected) return;
    this.#letGo();
    if (picture !== undefined) this.#url = URL.createObjectURL(picture);
    this.shown = picture === undefined ? 'gone' : 'small';
  }

  #letGo(): void {
    if (this.#url !== '') URL.revokeObjectURL(this.#url);
    this.#url = '';
  }

  override disconnectedCallback(): void {
    super.disconnectedCallback();
    this.#letGo();
  }
}

declare global {
  interface HTMLElementTagNameMap {
    'tn-photo': Photo;
  }
}
