import { LitElement, css, html, nothing } from 'lit';
import { customElement, property, state } from 'lit/decorators.js';
import { repeat } from 'lit/directives/repeat.js';
import type { PhotosModel, PlaceItem, PlaceModel } from '../../running/check-model.ts';
import { baseStyles } from '../shared/base-styles.ts';
import { sendUp } from '../shared/events.ts';
import { liveRegion } from '../shared/live-region.ts';

const CLASS_WORDS = { 'out-of-service': 'out of service', report: 'report it' } as const;

/** The items of a place by touch and key: what voice says, pressed. A row never moves, whatever was said of it. */
@customElement('tn-items-panel')
export class ItemsPanel extends LitElement {
  @property({ attribute: false }) place!: PlaceModel;
  /** A demo is watched, not answered. */
  @property({ type: Boolean }) watched = false;
  /** Absent where no photos are taken: then nothing is said of them. */
  @property({ attribute: false }) photos: PhotosModel | undefined;
  /** The item whose ways of being bad are shown. */
  @state() private opened: string | undefined;

  static override styles = [
    baseStyles,
    css`
      :host {
        container-type: inline-size;
      }
      .head {
        display: flex;
        flex-wrap: wrap;
        gap: 0.5rem;
        align-items: center;
        justify-content: space-between;
      }
      .left {
        font-weight: 700;
        font-size: 1.15rem;
      }
      .tools {
        display: flex;
        flex-wrap: wrap;
        gap: 0.5rem;
      }
      ul {
        list-style: none;
        margin: 0.5rem 0 0;
        padding: 0;
        border-top: 1px solid var(--hair);
      }
      li {
        border-bottom: 1px solid var(--hair);
        padding-block: 0.4rem;
      }
      .before {
        border-left: 0.4rem solid var(--marginal);
        padding-left: 0.6rem;
        margin-top: 0.5rem;
      }
      .row {
        display: grid;
        grid-template-columns: minmax(0, 1fr) auto auto;
        gap: 0.5rem;
        align-items: center;
      }
      .row button {
        white-space: nowrap;
        padding-inline: 0.6rem;
      }
      .name {
        font-weight: 700;
      }
      .look {
        color: var(--quiet);
        font-size: 0.92rem;
      }
      .good .how {
        color: var(--pass);
      }
      .bad .how {
        color: var(--fail);
        font-weight: 700;
      }
      .how {
        font-size: 0.95rem;
      }
      /* Its line is there before its words: the next row must not move under a thumb. */
      .how:last-child {
        min-height: 1.4em;
      }
      .ways {
        display: grid;
        grid-template-columns: repeat(auto-fill, minmax(min(100%, 9rem), 1fr));
        gap: 0.5rem;
        padding-block: 0.5rem;
      }
      .ways small {
        display: block;
        font-weight: 400;
      }
      /* A phone with text twice as large: the words above their buttons. */
      @container (max-width: 14rem) {
        .row {
          grid-template-columns: 1fr 1fr;
        }
        .row > div {
          grid-column: 1 / -1;
        }
      }
      form {
        display: flex;
        gap: 0.5rem;
        align-items: end;
        grid-column: 1 / -1;
      }
      label {
        display: grid;
        font-size: 0.9rem;
      }
      input {
        width: 6rem;
        min-height: 3rem;
        border: var(--edge) solid var(--rule);
        border-radius: 0.5rem;
        background: var(--raised);
        padding-inline: 0.6rem;
      }
    `,
  ];

  override render() {
    const { items, left, groups, earlier } = this.place;
    const opened = items.filter(({ open }) => open !== undefined);
    return html`<section aria-label="What to look at here">
      <div class="head">
        ${liveRegion('status', html`<p class="left">${left === 0 ? 'Nothing left here' : `${String(left)} of ${String(items.length)} left`}</p>`)}
        ${
          this.watched
            ? nothing
            : html`<div class="tools">
                ${groups.map(
                  ({ label, items: all }) =>
                    html`<button @click=${() => this.#good(all, label)}>
                      ${label.charAt(0).toUpperCase() + label.slice(1)}
                    </button>`,
                )}
                ${earlier
                  .slice(-1)
                  .map(
                    ({ id, title }) =>
                      html`<button @click=${() => this.#move(id, `back to ${title.toLowerCase()}`)}>
                        Back to ${title.toLowerCase()}
                      </button>`,
                  )}
                <button class="main" @click=${() => this.#move('next', 'next')}>Next place</button>
              </div>`
        }
      </div>
      ${opened.length === 0 ? nothing : html`<p class="before"><b>Open from before:</b> ${opened.map(({ open }) => open).join('; ')}</p>`}
      <ul>
        ${repeat(
          items,
          ({ id }) => id,
          (item) => this.#row(item),
        )}
      </ul>
    </section>`;
  }

  #row(item: PlaceItem) {
    const { result, title, look, open } = item;
    const isBad = result.class !== undefined && result.state === 'bad';
    const tone = isBad ? 'bad' : result.state === 'good' ? 'good' : '';
    const shown = this.opened === item.id;
    return html`<li class=${tone}>
      <div class="row">
        <div>
          <p class="name">${title}</p>
          <p class="look">${look}</p>
          ${open === undefined || result.state === 'good' ? nothing : html`<p class="how"><b>Open</b> ${open}: repaired?</p>`}
          <p class="how">${stateWords(item)}</p>
        </div>
        ${
          this.watched
            ? nothing
            : html`<button
                  aria-label="${title}: ${open === undefined ? 'good' : 'repaired'}"
                  aria-pressed=${result.state === 'good'}
                  @click=${() => this.#say(item, open === undefined ? 'good' : 'repaired')}
                >
                  ${open === undefined ? 'Good' : 'Repaired'}
                </button>
                <button
                  aria-label="${title}: bad …"
                  data-item=${item.id}
                  aria-expanded=${shown}
                  @click=${() => (this.opened = shown ? undefined : item.id)}
                >
                  Bad …
                </button>`
        }
      </div>
      ${shown ? this.#ways(item) : nothing} ${isBad || open !== undefined ? this.#photosOf(item) : nothing}
    </li>`;
  }

  /** They come with the first thing that is bad. */
  #photosOf({ id, title, earlier = [] }: PlaceItem) {
    if (this.photos === undefined || this.watched) return nothing;
    void import('./item-photos.ts');
    return html`<tn-item-photos item=${id} words=${title} .photos=${this.photos} .earlier=${earlier}></tn-item-photos>`;
  }

  #ways(item: PlaceItem) {
    const { measure } = item;
    return html`<div class="ways" role="group" aria-label="How ${item.title.toLowerCase()} is">
      ${item.ways.map(
        (way) =>
          html`<button @click=${() => this.#say(item, way.id, way.words)}>
            ${way.words}<small>${CLASS_WORDS[way.class]}</small>
          </button>`,
      )}
      ${item.mayLack ? html`<button @click=${() => this.#say(item, 'absent', 'not fitted')}>not fitted</button>` : nothing}
      <button @click=${() => this.#say(item, 'skipped')}>not checked</button>
      ${
        measure === undefined
          ? nothing
          : html`<form @submit=${(event: SubmitEvent) => this.#measured(event, item)}>
              <label
                >${measure.what}, ${measure.unit}<input
                  name="value"
                  type="number"
                  inputmode="numeric"
                  min="0"
                  max=${measure.max}
                  step="1"
                  required
              /></label>
              <button>Enter</button>
            </form>`
      }
    </div>`;
  }

  #measured(event: SubmitEvent, item: PlaceItem): void {
    event.preventDefault();
    const value = Number(new FormData(event.target as HTMLFormElement).get('value'));
    this.#act(
      [{ item: item.id, state: 'value', value }],
      `${item.title.toLowerCase()} ${String(value)} ${item.measure?.unit ?? ''}`,
      item.result.value !== undefined,
    );
  }

  /** Pressed after it was called bad, “good” is a correction: the finger has seen what it takes back. */
  #say(item: PlaceItem, is: string, words = is): void {
    const corrects = item.result.state === 'bad' && (is === 'good' || is === 'repaired');
    this.#act([{ item: item.id, state: is }], `${item.title.toLowerCase()} ${words}`, corrects);
  }

  #good(items: readonly string[], words: string): void {
    this.#act(
      items.map((item) => ({ item, state: 'good' })),
      words,
      false,
    );
  }

  #act(items: readonly { item: string; state: string; value?: number }[], words: string, correction: boolean): void {
    this.#close();
    sendUp(this, 'act', { action: { do: 'items', items, words, correction }, source: 'touch' });
  }

  /** What was pressed among the ways goes away with them: the keyboard goes on at the row, not at the top of the page. */
  #close(): void {
    const item = this.shadowRoot?.activeElement?.closest('.ways') === null ? undefined : this.opened;
    this.opened = undefined;
    if (item === undefined) return;
    void this.updateComplete.then(() =>
      this.renderRoot.querySelector<HTMLElement>(`[data-item="${item}"]`)?.focus({ preventScroll: true }),
    );
  }

  #move(to: string, words: string): void {
    this.opened = undefined;
    sendUp(this, 'act', { action: { do: 'move', to, words }, source: 'touch' });
  }
}

/** "✓ Good", "✗ frayed: report it", "8 32nds"; nothing while nothing was said. */
function stateWords({ result: { state: is, words, class: isClass, value } }: PlaceItem): string {
  if (is === 'passed over') return '';
  const measured = value === undefined ? '' : `, ${String(value.value)} ${value.unit}`;
  if (is === 'good') return `✓ ${words ?? 'good'}${measured}`;
  if (is === 'bad' && isClass !== undefined) return `✗ ${words ?? 'bad'}: ${CLASS_WORDS[isClass]}`;
  return `– ${is}${words === undefined ? '' : `: ${words}`}`;
}

declare global {
  interface HTMLElementTagNameMap {
    'tn-items-panel': ItemsPanel;
  }
}
