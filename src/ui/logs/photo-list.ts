import { LitElement, css, html } from 'lit';
import { customElement, property } from 'lit/decorators.js';
import type { ChainedStore } from '../../record/chained-store.ts';
import type { LogPhoto } from '../../record/photos-of-log.ts';
import { baseStyles } from '../shared/base-styles.ts';
import '../shared/photo.ts';
import { clockText } from '../shared/words.ts';

const NO_PICTURE = {
  wrong: 'the picture that is there is not the one that was taken',
  gone: 'not kept any more; the log tells that it was taken',
  'taken back': 'taken back by the operator; its picture was given up',
} as const;

/** Every photo of a check with its moment and item, also one that was taken back. */
@customElement('tn-photo-list')
export class PhotoList extends LitElement {
  @property({ attribute: false }) store!: Pick<ChainedStore, 'clip'>;
  @property({ attribute: false }) photos: readonly LogPhoto[] = [];
  /** Of the items, by their ids. */
  @property({ attribute: false }) titles: ReadonlyMap<string, string> = new Map();

  static override styles = [
    baseStyles,
    css`
      ul {
        list-style: none;
        margin: 0;
        padding: 0;
        display: grid;
        grid-template-columns: repeat(auto-fill, minmax(min(100%, 12rem), 1fr));
        gap: 0.8rem;
      }
    `,
  ];

  override render() {
    return html`<ul>
      ${this.photos.map(({ at, item, clip, is }) => {
        const title = this.titles.get(item) ?? item;
        return html`<li>
          <p><b>${clockText(at)}</b> ${title}</p>
          ${is === 'kept' ? html`<tn-photo clip=${clip} words="Photo of ${title}" .picture=${this.#picture}></tn-photo>` : html`<p class="quiet">${NO_PICTURE[is]}</p>`}
        </li>`;
      })}
    </ul>`;
  }

  readonly #picture = async (id: string): Promise<Blob | undefined> => (await this.store.clip(id))?.wav;
}

declare global {
  interface HTMLElementTagNameMap {
    'tn-photo-list': PhotoList;
  }
}
