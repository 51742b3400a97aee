import { LitElement, html, nothing } from 'lit';
import { customElement, property, state } from 'lit/decorators.js';
import type { ChainedStore } from '../../record/chained-store.ts';
import { missingText } from '../../record/device-chain.ts';
import { importChecks } from '../../record/import.ts';
import { thumbprint } from '../../record/signer.ts';
import type { ShelfKeeper } from '../../shelf/keeper.ts';
import { fetchCheck, listMonth, type ShelfMonth, type ShelfRow } from '../../shelf/reading.ts';
import type { Clock } from '../../units/clock.ts';
import { problemLine } from '../../units/outcome.ts';
import { baseStyles } from '../shared/base-styles.ts';
import { send } from '../shared/events.ts';
import { liveRegion } from '../shared/live-region.ts';
import { shelfStyles } from './shelf-styles.ts';

/** Rows that are drawn at once. */
const MOST_ROWS = 200;

/** What lies on the shelf, month by month: what is looked at is fetched, verified and kept like an import. Sends `imported`. */
@customElement('tn-shelf-list')
export class ShelfList extends LitElement {
  @property({ attribute: false }) keeper!: ShelfKeeper;
  @property({ attribute: false }) store!: ChainedStore;
  @property({ attribute: false }) clock!: Clock;
  @state() private month: ShelfMonth | undefined;
  @state() private progress: number | undefined;
  @state() private said = '';
  @state() private troubles: readonly string[] = [];
  /** Names of devices by the thumbprints of their keys. */
  @state() private names: ReadonlyMap<string, string> = new Map();
  /** Ids of checks by the digests of those that were fetched, and ids that are here. */
  @state() private fetched: ReadonlyMap<string, string> = new Map();
  @state() private here: ReadonlySet<string> = new Set();
  #stop: AbortController | undefined;

  static override styles = [baseStyles, shelfStyles];

  override disconnectedCallback(): void {
    super.disconnectedCallback();
    this.#stop?.abort();
  }

  override render() {
    const rows = this.month?.rows ?? [];
    const away = rows.filter((row) => this.#idHere(row) === undefined);
    return html`<section class="panel" aria-label="On the shelf">
      <h2>On the shelf</h2>
      <form class="row" @submit=${this.#list}>
        <label class="field"
          >Month
          <input type="month" name="month" required value=${this.clock.wall().slice(0, 7)} pattern="\\d{4}-\\d{2}"
        /></label>
        <button type="submit" ?disabled=${this.progress !== undefined}>List</button>
        ${
          away.length === 0
            ? nothing
            : html`<button
                type="button"
                ?disabled=${this.progress !== undefined}
                @click=${() => void this.#fetch(away)}
              >
                Fetch the ${away.length} that are not here
              </button>`
        }
      </form>
      ${
        this.progress === undefined
          ? nothing
          : html`<div>
              <progress aria-label="Fetching" max="1" .value=${this.progress}></progress>
              <button @click=${() => this.#stop?.abort()}>Cancel</button>
            </div>`
      }
      ${liveRegion('status', this.said, { look: 'said' })}
      ${
        this.troubles.length === 0
          ? nothing
          : html`<ul aria-label="What is wrong or missing">
              ${this.troubles.map((each) => html`<li class="refused">${each}</li>`)}
            </ul>`
      }
      ${
        rows.length === 0
          ? nothing
          : html`<ul class="rows" aria-label="Checks on the shelf">
              ${rows.slice(0, MOST_ROWS).map((row) => this.#row(row))}
            </ul>`
      }
      ${rows.length > MOST_ROWS ? html`<p>And ${rows.length - MOST_ROWS} more, which “Fetch” takes, too.</p>` : nothing}
    </section>`;
  }

  #row(row: ShelfRow) {
    const { head, says, isThere } = row;
    const id = this.#idHere(row);
    const name = `${this.#device(head.device)}, number ${head.number}`;
    return html`<li>
      <span
        >${head.day}, ${head.station},
        ${name}${says === undefined ? '' : html`<br /><span class="quiet">The index says: ${says.rig}, ${says.plan}, ${says.verdict}</span>`}
        ${isThere ? nothing : html`<br /><b>Missing: only its head is there.</b>`}</span
      >
      ${
        id === undefined
          ? html`<button ?disabled=${this.progress !== undefined} @click=${() => void this.#fetch([row])}>
              Fetch<span class="unseen"> ${head.day}, ${name}</span>
            </button>`
          : html`<a href="#logs/${encodeURIComponent(id)}">Open<span class="unseen"> ${head.day}, ${name}</span></a>`
      }
    </li>`;
  }

  #device(print: string): string {
    return this.names.get(print) ?? `unknown key ${print.slice(0, 16)}`;
  }

  /** The id of a check that is on this device. */
  #idHere({ head, says }: ShelfRow): string | undefined {
    const fetched = this.fetched.get(head.digest);
    if (fetched !== undefined) return fetched;
    return says !== undefined && this.here.has(says.check) ? says.check : undefined;
  }

  #list(event: SubmitEvent): void {
    event.preventDefault();
    const month = new FormData(event.target as HTMLFormElement).get('month');
    if (typeof month !== 'string' || !/^\d{4}-\d{2}$/.test(month))
      this.said = 'A month is a year and a number: 2026-05.';
    else void this.#during(async (stop) => this.#show(month, stop));
  }

  async #show(month: string, stop: AbortSignal): Promise<void> {
    const { state } = this.keeper;
    const place = await this.keeper.open(stop);
    if (place === undefined || state.kind !== 'on') return;
    const { known, signer } = await this.store.packing();
    const own = { name: 'This device', key: signer.publicKey };
    const named = await Promise.all(
      [...known, own].map(async ({ name, key }) => [await thumbprint(key), name] as const),
    );
    this.names = new Map(named);
    this.here = new Set((await this.store.heads()).map(({ id }) => id));
    const listed = await listMonth(place, month, state.setting.file.station);
    if ('what' in listed) {
      this.said = problemLine(listed);
      return;
    }
    this.month = listed;
    this.said = `${listed.rows.length} ${listed.rows.length === 1 ? 'check' : 'checks'} in ${month}.`;
    this.troubles = listed.gaps.map(
      ({ device, missing }) =>
        `Of ${this.#device(device)} there is neither check nor head of number ${missingText(missing)}, though there are later ones.`,
    );
  }

  async #fetch(rows: readonly ShelfRow[]): Promise<void> {
    await this.#during(async (stop) => {
      const place = await this.keeper.open(stop);
      if (place === undefined) return;
      let taken = 0;
      const troubles: string[] = [];
      for (const [at, { head }] of rows.entries()) {
        stop.throwIfAborted();
        this.progress = at / rows.length;
        const got = await fetchCheck(place, head);
        if (!got.ok) {
          troubles.push(problemLine(got.problem));
          continue;
        }
        const name = `${head.station}, ${head.day}, number ${head.number}`;
        const { logs } = await importChecks([{ name, file: got.value }], this.store, { steady: this.clock.steady });
        for (const { check, outcome, line, sealer } of logs) {
          if (check === undefined || outcome === 'refused' || outcome === 'conflict') troubles.push(line);
          else {
            taken += 1;
            this.fetched = new Map([...this.fetched, [head.digest, check]]);
            if (sealer?.kind === 'unknown') troubles.push(`${name}: sealed with a key that this device does not know.`);
          }
        }
      }
      this.troubles = troubles;
      this.said = `${taken} of ${rows.length} fetched and verified.`;
      send(this, 'imported');
    });
  }

  async #during(work: (stop: AbortSignal) => Promise<void>): Promise<void> {
    const stop = (this.#stop = new AbortController());
    this.said = '';
    this.progress = 0;
    try {
      await work(stop.signal);
    } catch {
      this.said = stop.signal.aborted ? 'Cancelled. What was fetched is kept.' : 'Storage does not answer.';
    } finally {
      this.progress = undefined;
    }
  }
}

declare global {
  interface HTMLElementTagNameMap {
    'tn-shelf-list': ShelfList;
  }
}
