import { LitElement, css, html, nothing } from 'lit';
import { customElement, property, query, state } from 'lit/decorators.js';
import { repeat } from 'lit/directives/repeat.js';
import type { Row } from '../../audit/row.ts';
import { sealerOf } from '../../record/known-keys.ts';
import type { Packing } from '../../record/packing.ts';
import { STORY_ID } from '../../rehearsal/demo-story.ts';
import { baseStyles } from '../shared/base-styles.ts';
import { toneOf, verdictMark, verdictStyles } from '../shared/verdict-look.ts';
import { checkHref } from '../shell/places.ts';

/** Rows beyond the edges of the view that are kept drawn, so that scrolling by keys has somewhere to go. */
const BEYOND = 6;
/** Of a row, in rem; the styles below keep to it. */
const ROW_REM = 5;

/** The checks, newest first. Only the rows in view are drawn, whatever their number. */
@customElement('tn-log-list')
export class LogList extends LitElement {
  @property({ attribute: false }) rows: readonly Row[] = [];
  /** Whose keys are known here; until that is known nothing is said of keys. */
  @property({ attribute: false }) packing: Packing | undefined;
  /** Ids of rigs that drift. */
  @property({ attribute: false }) drifting: ReadonlySet<string> = new Set();
  /** What is said where there is no row. */
  @property() none = '';
  @state() private top = 0;
  @state() private height = 0;
  @query('.scroller') private scroller!: HTMLElement;
  readonly #watch = new ResizeObserver(() => this.#measure());

  static override styles = [
    baseStyles,
    verdictStyles,
    css`
      .scroller {
        position: relative;
        overflow-y: auto;
        height: clamp(16rem, 62vh, 60rem);
        border: var(--edge) solid var(--rule);
        border-radius: 0.5rem;
        background: var(--raised);
      }
      ul {
        position: relative;
        margin: 0;
        padding: 0;
        list-style: none;
      }
      li {
        position: absolute;
        inset-inline: 0;
        height: ${ROW_REM}rem;
        border-bottom: 1px solid var(--hair);
      }
      a {
        display: grid;
        grid-template-columns: 1.9rem minmax(0, 1fr) auto;
        gap: 0.7rem;
        align-items: center;
        height: 100%;
        padding-inline: 0.7rem;
        color: inherit;
        text-decoration: none;
      }
      a:hover {
        background: var(--panel);
      }
      a:focus-visible {
        outline-offset: -3px;
      }
      .what {
        color: var(--ink);
        min-width: 0;
      }
      .what span {
        display: block;
        white-space: nowrap;
        overflow: hidden;
        text-overflow: ellipsis;
      }
      .none {
        padding: 1rem;
      }
    `,
  ];

  override render() {
    const size = this.#rowSize();
    const from = Math.max(0, Math.floor(this.top / size) - BEYOND);
    const to = Math.min(this.rows.length, Math.ceil((this.top + this.height) / size) + BEYOND);
    const shown = this.rows.slice(from, to);
    return html`<div class="scroller" tabindex="0" role="region" aria-label="Checks" @scroll=${this.#measure}>
      ${
        this.rows.length === 0
          ? html`<p class="none">${this.none}</p>`
          : html`<ul style="height: ${this.rows.length * ROW_REM}rem">
              ${repeat(
                shown,
                ({ id }) => id,
                (row, at) => this.#row(row, from + at),
              )}
            </ul>`
      }
    </div>`;
  }

  #row(row: Row, at: number) {
    const { verdict, signed, nameOnly } = row;
    const notes = [
      row.id.startsWith(STORY_ID) ? 'made up' : '',
      row.trouble === undefined ? '' : 'not as sealed',
      this.drifting.has(row.rigId) ? 'rig drifts' : '',
      signed.length === 0 ? '' : nameOnly ? 'countersigned (name only)' : 'countersigned',
    ].filter((note) => note !== '');
    return html`<li style="top: ${at * ROW_REM}rem" aria-setsize=${this.rows.length} aria-posinset=${at + 1}>
      <a class=${toneOf(verdict)} href=${checkHref(row.id)}>
        ${verdictMark(verdict)}
        <span class="what"
          ><span><b>${row.rigName}</b>, ${row.plan}</span
          ><span>${new Date(row.date).toLocaleString([], { dateStyle: 'medium', timeStyle: 'short' })}</span
          ><span class="quiet"
            >${outside(row)}${this.#sealer(row)}${[row.operator, ...notes].filter((part) => part !== '').join(', ')}</span
          ></span
        >
        <b>${verdict}</b>
      </a>
    </li>`;
  }

  /** Of a log whose maker is not known that is said first. */
  #sealer({ id, log }: Row) {
    const { packing } = this;
    if (log === undefined || packing === undefined || id.startsWith(STORY_ID)) return nothing;
    const { kind } = sealerOf(log, packing.known, packing.signer.publicKey);
    return kind === 'unknown'
      ? html`<b>unknown key</b>, `
      : kind === 'throwaway'
        ? html`<b>only a checksum</b>, `
        : nothing;
  }

  protected override firstUpdated(): void {
    this.#watch.observe(this.scroller);
    this.#measure();
  }

  override disconnectedCallback(): void {
    super.disconnectedCallback();
    this.#watch.disconnect();
  }

  /** A row in CSS pixels: text may be larger. */
  #rowSize(): number {
    return ROW_REM * Number.parseFloat(getComputedStyle(document.documentElement).fontSize);
  }

  #measure(): void {
    this.top = this.scroller.scrollTop;
    this.height = this.scroller.clientHeight;
  }
}

/** What failed comes first, by name. */
function outside({ steps }: Row) {
  const failed = steps.filter(({ verdict }) => verdict === 'fail').map(({ title }) => title);
  return failed.length === 0 ? nothing : html`<b class="fail">${failed.join(', ')}</b>, `;
}

declare global {
  interface HTMLElementTagNameMap {
    'tn-log-list': LogList;
  }
}
