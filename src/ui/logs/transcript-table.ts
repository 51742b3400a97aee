import { LitElement, css, html, nothing } from 'lit';
import { customElement, property, state } from 'lit/decorators.js';
import type { ChainedStore } from '../../record/chained-store.ts';
import { baseStyles } from '../shared/base-styles.ts';
import { clockText } from '../shared/words.ts';
import type { SoundMark, TranscriptLine } from './transcript-lines.ts';
import { send } from '../shared/events.ts';
import { tableStyles } from './table-styles.ts';

/** Every callout of a check in order, with its sound, and the marks of cab sounds between them. Sends `hear-again` with an entry. */
@customElement('tn-transcript')
export class TranscriptTable extends LitElement {
  @property({ attribute: false }) store!: Pick<ChainedStore, 'clip'>;
  @property({ attribute: false }) lines: readonly TranscriptLine[] = [];
  @property({ attribute: false }) marks: readonly SoundMark[] = [];
  /** Ids of clips that can be played. */
  @property({ attribute: false }) clips: ReadonlySet<string> = new Set();
  @state() private playing = '';
  readonly #player = new Audio();

  static override styles = [
    baseStyles,
    tableStyles,
    css`
      .number {
        font-variant-numeric: tabular-nums;
        white-space: nowrap;
      }
      .heard {
        overflow-wrap: anywhere;
      }
      s {
        text-decoration-thickness: 2px;
      }
      .mark td {
        color: var(--quiet);
        font-style: italic;
      }
      .sounds {
        display: inline-block;
        white-space: nowrap;
      }
      .play {
        min-height: 2.75rem;
        min-width: 2.75rem;
        padding: 0 0.5rem;
      }
      @media (max-width: 34rem) {
        tr {
          display: grid;
          grid-template-columns: 3.2rem minmax(0, 1fr) auto;
          border-bottom: 1px solid var(--hair);
        }
        td,
        th {
          border-bottom: 0;
        }
        tr:not(.mark) td:last-child,
        th:last-child {
          grid-column: 2 / -1;
          padding-top: 0;
        }
      }
    `,
  ];

  override render() {
    const { lines, marks } = this;
    // A mark stands before the callout that follows it.
    const before = (at: number, next: number): readonly SoundMark[] =>
      marks.filter((mark) => mark.at >= at && mark.at < next);
    return html`<div class="scroll" tabindex="0" role="region" aria-label="Callouts">
      <table class="callouts">
        <thead>
          <tr>
            <th scope="col">Time</th>
            <th scope="col">Heard</th>
            <th scope="col">Sure</th>
            <th scope="col">How it was taken</th>
          </tr>
        </thead>
        <tbody>
          ${lines.map((line, nth) => [before(lines[nth - 1]?.at ?? -Infinity, line.at).map(markRow), this.#row(line)])}
          ${before(lines.at(-1)?.at ?? -Infinity, Infinity).map(markRow)}
        </tbody>
      </table>
    </div>`;
  }

  #row(line: TranscriptLine) {
    return html`<tr>
      <td class="number">${clockText(line.at)}</td>
      <td class="heard">
        ${line.corrected ? html`<s>${line.heard}</s>` : line.heard}
        ${line.source === 'voice' ? nothing : html`<span class="quiet">(by ${line.source})</span>`}
        ${line.clip === undefined ? nothing : this.#clip(line, line.clip)}
      </td>
      <td class="number">${Math.round(line.confidence * 100)} %</td>
      <td>${line.taken}<br /><span class="quiet">${line.step}</span></td>
    </tr>`;
  }

  #clip(line: TranscriptLine, id: string) {
    if (!this.clips.has(id)) return html`<span class="quiet">(sound deleted)</span>`;
    const on = this.playing === id;
    return html`<span class="sounds"
      ><button class="play" aria-pressed=${on ? 'true' : 'false'} @click=${() => void this.#play(id)}>
        ${on ? 'Stop' : 'Play'}<span class="unseen"> ${line.heard}</span>
      </button>
      <button class="play" @click=${() => send(this, 'hear-again', line.entry)}>
        Hear again<span class="unseen"> ${line.heard}</span>
      </button></span
    >`;
  }

  async #play(id: string): Promise<void> {
    const again = this.playing === id;
    this.#silence();
    if (again) return;
    const clip = await this.store.clip(id);
    if (clip === undefined) return;
    this.playing = id;
    this.#player.src = URL.createObjectURL(clip.wav);
    this.#player.onended = () => this.#silence();
    await this.#player.play().catch(() => this.#silence());
  }

  #silence(): void {
    this.#player.pause();
    if (this.#player.src.startsWith('blob:')) URL.revokeObjectURL(this.#player.src);
    this.#player.removeAttribute('src');
    this.playing = '';
  }

  override disconnectedCallback(): void {
    super.disconnectedCallback();
    this.#silence();
  }
}

function markRow({ at, words }: SoundMark) {
  return html`<tr class="mark">
    <td class="number">${clockText(at)}</td>
    <td colspan="3">Proposed by the sound: ${words}</td>
  </tr>`;
}

declare global {
  interface HTMLElementTagNameMap {
    'tn-transcript': TranscriptTable;
  }
}
