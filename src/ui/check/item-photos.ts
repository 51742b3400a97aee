import { LitElement, css, html, nothing } from 'lit';
import { customElement, property, state } from 'lit/decorators.js';
import { repeat } from 'lit/directives/repeat.js';
import type { PhotosModel } from '../../running/check-model.ts';
import { problemLine } from '../../units/outcome.ts';
import { baseStyles } from '../shared/base-styles.ts';
import { sendUp } from '../shared/events.ts';
import { liveRegion } from '../shared/live-region.ts';
import '../shared/photo.ts';
import { shrinkPhoto } from './shrink-photo.ts';

/** The photos of one item that is bad: those there are, one more by camera or file, and each to be taken back. */
@customElement('tn-item-photos')
export class ItemPhotos extends LitElement {
  @property() item = '';
  @property() words = '';
  @property({ attribute: false }) photos!: PhotosModel;
  /** Ids of those that earlier checks have of it. */
  @property({ attribute: false }) earlier: readonly string[] = [];
  @state() private busy = false;
  /** Why the last file was not taken. */
  @state() private refused = '';

  static override styles = [
    baseStyles,
    css`
      :host {
        display: flex;
        flex-wrap: wrap;
        gap: 0.5rem;
        align-items: end;
        padding-block: 0.3rem;
      }
      figure {
        margin: 0;
        display: grid;
        gap: 0.25rem;
        max-width: 100%;
      }
      .add {
        display: inline-flex;
        align-items: center;
        min-height: 3rem;
        padding: 0.4rem 0.9rem;
        border: var(--edge) solid var(--rule);
        border-radius: 0.5rem;
        background: var(--raised);
        font-weight: 600;
        cursor: pointer;
      }
      .add:focus-within {
        outline: 3px solid var(--accent);
        outline-offset: 2px;
      }
      /* The file picker itself stays in the way of the keyboard and of screen readers. */
      input[type='file'] {
        position: absolute;
        width: 1px;
        min-height: 1px;
        height: 1px;
        padding: 0;
        border: 0;
        clip-path: inset(50%);
      }
      .refused {
        flex: 1 1 100%;
        color: var(--fail);
        font-weight: 700;
      }
    `,
  ];

  override render() {
    const { item, words, photos, earlier } = this;
    const taken = photos.taken.filter((photo) => photo.item === item);
    const trouble = photos.trouble?.item === item ? photos.trouble.line : '';
    const line = this.refused === '' ? trouble : this.refused;
    return html`${earlier.map(
        (clip) =>
          html`<figure>
            <tn-photo clip=${clip} words="Photo from before of ${words}" .picture=${photos.picture}></tn-photo>
            <figcaption class="quiet">from before</figcaption>
          </figure>`,
      )}
      ${repeat(
        taken,
        ({ clip }) => clip,
        ({ clip }, nth) =>
          html`<figure>
            <tn-photo clip=${clip} words="Photo ${nth + 1} of ${words}" .picture=${photos.picture}></tn-photo>
            <button aria-label="Take photo ${nth + 1} of ${words} back" @click=${() => this.#takeBack(clip)}>
              Take back
            </button>
          </figure>`,
      )}
      <label class="add"
        >${this.busy ? 'Reading the photo' : 'Add photo'}
        <input
          type="file"
          accept="image/*"
          capture="environment"
          aria-label="Add photo of ${words}"
          @change=${this.#chosen}
      /></label>
      ${liveRegion('alert', line === '' ? nothing : html`<p class="refused">${line}</p>`)}`;
  }

  #chosen = (event: Event): void => {
    const input = event.target as HTMLInputElement;
    const file = input.files?.[0];
    // The same file chosen again is a choice, too.
    input.value = '';
    if (file !== undefined) void this.#take(file);
  };

  async #take(file: Blob): Promise<void> {
    this.busy = true;
    const picture = await shrinkPhoto(file);
    this.busy = false;
    this.refused = picture.ok ? '' : problemLine(picture.problem);
    if (picture.ok)
      sendUp(this, 'act', { action: { do: 'photo', item: this.item, picture: picture.value }, source: 'touch' });
  }

  #takeBack(clip: string): void {
    this.refused = '';
    sendUp(this, 'act', { action: { do: 'photo-back', item: this.item, clip }, source: 'touch' });
    // What was pressed goes away with it.
    void this.updateComplete.then(() => this.renderRoot.querySelector<HTMLElement>('input')?.focus());
  }
}

declare global {
  interface HTMLElementTagNameMap {
    'tn-item-photos': ItemPhotos;
  }
}
