import { LitElement, css, html, nothing } from 'lit';
import { customElement, property, state } from 'lit/decorators.js';
import { FALSE_ALARMS, findOddities, oddityLine, type OddityReport } from '../../audit/oddities/oddities.ts';
import { spokenCheck, type SpokenCheck } from '../../audit/oddities/spoken-check.ts';
import { printOfWav } from '../../hearing/print-of-wav.ts';
import type { SoundPrint } from '../../hearing/sound-print.ts';
import type { ChainedStore } from '../../record/chained-store.ts';
import type { LogFile } from '../../record/log.ts';
import { breather } from '../../record/pace.ts';
import type { Clock } from '../../units/clock.ts';
import { baseStyles } from '../shared/base-styles.ts';

/** What honest checks hardly ever have, looked for in the checks of the list. Statements with their statistics, never an accusation. */
@customElement('tn-oddities')
export class OdditiesPanel extends LitElement {
  @property({ attribute: false }) store!: ChainedStore;
  @property({ attribute: false }) steady!: Clock['steady'];
  /** Ids of the checks of the list. */
  @property({ attribute: false }) checks: readonly string[] = [];
  @state() private progress: number | undefined;
  @state() private report: OddityReport | undefined;
  @state() private said = '';
  #stop: AbortController | undefined;

  static override styles = [
    baseStyles,
    css`
      progress {
        width: 100%;
        height: 1.2rem;
        accent-color: var(--accent);
      }
      li {
        overflow-wrap: anywhere;
        padding-block: 0.2rem;
      }
    `,
  ];

  override disconnectedCallback(): void {
    super.disconnectedCallback();
    this.#stop?.abort();
  }

  override render() {
    return html`<details class="panel">
      <summary>Oddities: what honest checks hardly ever have</summary>
      <p class="quiet">
        Looks at the checks in the list, of each operator on each rig: last digits, readings that repeat, pauses and
        holds that are too even, sounds without speech or engine, sounds that repeat. An oddity is a reason to ask, and
        no proof of anything. Honest checks show any in at most ${100 * FALSE_ALARMS} of 100 such searches.
      </p>
      ${
        this.progress === undefined
          ? html`<button ?disabled=${this.checks.length === 0} @click=${() => void this.#look()}>
              Look for oddities in these ${this.checks.length} checks
            </button>`
          : html`<progress aria-label="Looking for oddities" max="1" .value=${this.progress}></progress>
              <button @click=${() => this.#stop?.abort()}>Cancel the search</button>`
      }
      <div role="status">
        ${this.said === '' ? nothing : html`<p>${this.said}</p>`}
        ${this.report === undefined ? nothing : this.#found(this.report)}
      </div>
    </details>`;
  }

  #found({ oddities, asked, groups, notAsked }: OddityReport) {
    const groupText = groups === 1 ? 'one operator on one rig' : `${groups} operators on rigs`;
    return html`<p>
        <b
          >${oddities.length === 0 ? 'Nothing odd' : oddities.length === 1 ? 'One oddity' : `${oddities.length} oddities`}.</b
        >
        ${asked} questions were asked of ${groupText}.
      </p>
      ${
        oddities.length === 0
          ? nothing
          : html`<ul>
              ${oddities.map((oddity) => html`<li>${oddityLine(oddity)}</li>`)}
            </ul>`
      }
      ${
        notAsked.length === 0
          ? nothing
          : html`<details>
              <summary>What could not be asked</summary>
              <ul>
                ${notAsked.map(({ kind, why, groups: some }) => html`<li>${kind}, of ${some} of ${groups}: ${why}.</li>`)}
              </ul>
            </details>`
      }`;
  }

  async #look(): Promise<void> {
    const stop = (this.#stop = new AbortController());
    const breathe = breather({ signal: stop.signal, steady: this.steady });
    const { checks, store } = this;
    this.said = '';
    this.report = undefined;
    this.progress = 0;
    try {
      const spoken: SpokenCheck[] = [];
      for (const [at, id] of checks.entries()) {
        await breathe();
        this.progress = at / checks.length;
        const log = await store.log(id);
        const check =
          log === undefined ? undefined : await spokenCheck(log, (place) => listen(store, log, place, breathe));
        if (check !== undefined) spoken.push(check);
      }
      this.report = await findOddities(spoken, breathe);
    } catch {
      this.said = stop.signal.aborted ? 'Looking for oddities: cancelled.' : 'The record cannot be read.';
    } finally {
      this.progress = undefined;
    }
  }
}

async function listen(
  store: ChainedStore,
  { entries }: LogFile,
  place: number,
  breathe: () => Promise<void>,
): Promise<SoundPrint | undefined> {
  const event = entries[place]?.event;
  if (event?.type !== 'callout' || event.clip === undefined) return undefined;
  const clip = await store.clip(event.clip);
  if (clip === undefined) return undefined;
  await breathe();
  return printOfWav(new Uint8Array(await clip.wav.arrayBuffer()));
}

declare global {
  interface HTMLElementTagNameMap {
    'tn-oddities': OdditiesPanel;
  }
}
