import { LitElement, css, html, nothing } from 'lit';
import type { PropertyValues } from 'lit';
import { customElement, property, state } from 'lit/decorators.js';
import { choicesOf, choose, type Choices, type Filter } from '../../audit/filter.ts';
import { rowsOf, type Row } from '../../audit/row.ts';
import { driftingRigs } from '../../audit/trends.ts';
import type { Plan } from '../../check/plan.ts';
import type { LimitProfile } from '../../judging/profile.ts';
import type { ChainedStore } from '../../record/chained-store.ts';
import { exportChecks, exportFigures, type Exported } from '../../record/export.ts';
import type { Packing } from '../../record/packing.ts';
import { breather, type Work } from '../../record/pace.ts';
import type { Clock } from '../../units/clock.ts';
import { STORY_ID } from '../../rehearsal/demo-story.ts';
import type { Language } from '../../running/language.ts';
import type { SmallStore } from '../../running/settings.ts';
import type { NamedHearing } from '../../running/microphone-ear.ts';
import type { ShelfKeeper } from '../../shelf/keeper.ts';
import { saveFile } from '../library/save-file.ts';
import { baseStyles } from '../shared/base-styles.ts';
import { filterOf, queryOf } from './filter-query.ts';
import './keys-panel.ts';
import './log-detail.ts';
import './log-filter.ts';
import './log-import.ts';
import './log-list.ts';
import './oddities-panel.ts';
import '../shelf/shelf-line.ts';
import { loadStory, removeStory } from './story-logs.ts';
import { on } from '../shared/events.ts';

/** As many as any screen shows at once. */
const FIRST_ROWS = 30;
/** In the place of a check's id: the keys of this station, and the district's shelf. */
const KEYS = 'keys';
const SHELF = 'shelf';
const NOTHING: ReadonlySet<string> = new Set();

/** The record of all checks: the list with its filter, import, export, the demo story; or one check. */
@customElement('tn-logs-screen')
export class LogsScreen extends LitElement {
  @property({ attribute: false }) store!: ChainedStore;
  @property({ attribute: false }) profiles: readonly LimitProfile[] = [];
  @property({ attribute: false }) language!: Language;
  /** The ears of this device, for a second hearing. */
  @property({ attribute: false }) ears: () => Promise<readonly NamedHearing[]> = () => Promise.resolve([]);
  @property({ attribute: false }) clock!: Clock;
  /** Where the people of this device are kept. */
  @property({ attribute: false }) small!: SmallStore;
  /** The shelf of this device; absent where nothing is sealed. */
  @property({ attribute: false }) shelf: (() => Promise<ShelfKeeper>) | undefined;
  /** The plan and limits of the demo story. */
  @property({ attribute: false }) plan: Plan | undefined;
  /** Id of the check that is shown; empty for the list. */
  @property() check = '';
  /** The filter, as the address has it. */
  @property() query = '';
  @state() private rows: readonly Row[] | undefined;
  /** The newest, shown until all are read. */
  @state() private first: readonly Row[] = [];
  @state() private choices: Choices = { rigs: [], operators: [], steps: [] };
  @state() private filter: Filter = {};
  @state() private packing: Packing | undefined;
  @state() private drifting: ReadonlySet<string> = NOTHING;
  @state() private work: { readonly what: string; readonly progress: number } | undefined;
  @state() private said = '';
  /** Whether the browser has promised to keep the record; undefined where it does not tell. */
  @state() private promised: boolean | undefined;
  #stop: AbortController | undefined;
  #load: AbortController | undefined;

  static override styles = [
    baseStyles,
    css`
      main {
        display: grid;
        gap: 0.9rem;
        padding: 1rem;
        max-width: 72rem;
        margin-inline: auto;
      }
      main > * {
        min-width: 0;
      }
      h1 {
        font-size: 1.5rem;
      }
      .count {
        font-weight: 700;
        flex: 1;
      }
      progress {
        width: 100%;
        height: 1.2rem;
        accent-color: var(--accent);
      }
      details.panel {
        padding-block: 0.2rem;
      }
      details.panel > :last-child {
        padding-bottom: 0.6rem;
      }
    `,
  ];

  protected override willUpdate(changed: PropertyValues<this>): void {
    if (changed.has('store')) void this.#read();
    // A key may have become known on the screen of keys.
    if (changed.has('store') || changed.has('check'))
      void this.store.packing().then(
        (packing) => (this.packing = packing),
        () => undefined,
      );
    if (changed.has('query') && this.check === '') this.filter = filterOf(this.query);
  }

  protected override firstUpdated(): void {
    // Pages without a secure context have none.
    const storage = navigator.storage as StorageManager | undefined;
    void storage?.persisted().then((promised) => (this.promised = promised));
  }

  override render() {
    const rows = this.rows ?? [];
    if (this.check === KEYS)
      return html`<tn-keys
        .store=${this.store}
        .steady=${this.clock.steady}
        query=${this.query}
        back=${this.#href()}
      ></tn-keys>`;
    if (this.check === SHELF) {
      // Few tablets have it open, and it draws as soon as it is there.
      void import('../shelf/shelf-panel.ts');
      return html`<tn-shelf
        .door=${this.shelf}
        .store=${this.store}
        .clock=${this.clock}
        back=${this.#href()}
        @imported=${() => void this.#read()}
      ></tn-shelf>`;
    }
    if (this.check !== '') {
      return html`<tn-log-detail
        .store=${this.store}
        .small=${this.small}
        .wall=${this.clock.wall}
        .rows=${rows}
        .profiles=${this.profiles}
        .language=${this.language}
        .ears=${this.ears}
        check=${this.check}
        back=${this.#href()}
        ${on({ signed: () => void this.#read() })}
      ></tn-log-detail>`;
    }
    const chosen = choose(rows, this.filter, this.drifting);
    const checks = chosen.map(({ id }) => id);
    return html`<main>
      <h1 tabindex="-1">Logs</h1>
      <details class="panel" ?open=${this.#isNarrowed()}>
        <summary>Filter${this.#isNarrowed() ? ' (in use)' : ''}</summary>
        <tn-log-filter
          .filter=${this.filter}
          .choices=${this.choices}
          ${on({ filter: (filter) => this.#narrow(filter) })}
        ></tn-log-filter>
      </details>
      <div class="row">
        <p class="count" role="status">${this.#counted(chosen.length)}</p>
        <button
          ?disabled=${checks.length === 0 || this.work !== undefined}
          @click=${() => void this.#export('checks.zip', checks, exportChecks)}
        >
          Export as zip
        </button>
        <button
          ?disabled=${checks.length === 0 || this.work !== undefined}
          @click=${() => void this.#export('figures.csv', checks, exportFigures)}
        >
          Export figures as CSV
        </button>
      </div>
      ${this.#working()}
      <p role="status" class=${this.said === '' ? 'unseen' : ''}>${this.said}</p>
      ${
        this.rows === undefined
          ? html`<p>Reading the record.</p>
              <tn-log-list .rows=${this.#isNarrowed() ? [] : this.first} .packing=${this.packing}></tn-log-list>`
          : html`<tn-log-list
              .rows=${chosen}
              .packing=${this.packing}
              .drifting=${this.drifting}
              none=${rows.length === 0 ? 'No check yet. What is checked on this device is listed here.' : 'No check fits the filter.'}
            ></tn-log-list>`
      }
      <tn-log-import
        .store=${this.store}
        .steady=${this.clock.steady}
        ${on({ imported: () => void this.#read() })}
      ></tn-log-import>
      <tn-oddities .store=${this.store} .steady=${this.clock.steady} .checks=${checks}></tn-oddities>
      <tn-shelf-line .door=${this.shelf}></tn-shelf-line>
      <p><a href="#logs/keys">Keys: whose logs are known here, and which checks are missing</a></p>
      ${this.#story(rows)}
      <p class="quiet">
        The record is kept by this browser, on this
        device${this.shelf === undefined ? ' only' : ', and on the shelf if that is on'}.${this.promised === undefined ? '' : this.promised ? ' The browser has promised not to clear it by itself.' : ' The browser may clear it when the disk is nearly full.'}
        A private window forgets it when it closes. Export what must last.
      </p>
    </main>`;
  }

  #counted(shown: number): string {
    if (this.rows === undefined) return '';
    const all = this.rows.length;
    const checks = all === 1 ? '1 check' : `${all} checks`;
    return shown === all ? checks : `${shown} of ${checks}`;
  }

  #working() {
    if (this.work === undefined) return nothing;
    return html`<div>
      <progress aria-label=${this.work.what} max="1" .value=${this.work.progress}></progress>
      <button @click=${() => this.#stop?.abort()}>Cancel: ${this.work.what}</button>
    </div>`;
  }

  #story(rows: readonly Row[]) {
    const here = rows.some(({ id }) => id.startsWith(STORY_ID));
    return html`<section class="row" aria-label="Demo data">
      ${
        here
          ? html`<button ?disabled=${this.work !== undefined} @click=${() => void this.#removeStory()}>
              Remove the made-up checks
            </button>`
          : html`<button ?disabled=${this.work !== undefined} @click=${() => void this.#loadStory()}>
              Load twelve made-up weeks
            </button>`
      }
      <span class="quiet">Three invented rigs of Tamarack Flats; one of them drifts until it fails.</span>
    </section>`;
  }

  #isNarrowed(): boolean {
    return Object.keys(this.filter).length > 0;
  }

  #href(): string {
    const query = queryOf(this.filter);
    return query === '' ? '#logs' : `#logs?${query}`;
  }

  #narrow(filter: Filter): void {
    this.filter = filter;
    history.replaceState(null, '', this.#href());
  }

  /** Rows first; which rigs drift is worked out while the list can be used already. */
  async #read(): Promise<void> {
    this.#load?.abort();
    const load = (this.#load = new AbortController());
    if (this.rows === undefined) {
      const first = rowsOf(await this.store.heads(FIRST_ROWS));
      if (load.signal.aborted) return;
      // As long as the list is not whole, it says so and is not filtered.
      this.first = first;
      await this.updateComplete;
      await new Promise((drawn) => requestAnimationFrame(drawn));
    }
    const heads = await this.store.heads();
    if (load.signal.aborted) return;
    const rows = rowsOf(heads);
    this.rows = rows;
    this.choices = choicesOf(rows);
    try {
      const found = await driftingRigs(rows, breather({ signal: load.signal, steady: this.clock.steady }));
      this.drifting = new Set(found.keys());
    } catch (error) {
      if (!(error instanceof DOMException && error.name === 'AbortError')) throw error;
    }
  }

  async #loadStory(): Promise<void> {
    const { plan, profiles, language, store } = this;
    const [profile] = profiles;
    if (plan === undefined || profile === undefined) return;
    const lastDay = new Date(Date.parse(this.clock.wall()) - 86_400_000).toISOString().slice(0, 10);
    await this.#during('Loading the made-up weeks', async (work) => {
      const { stopped } = await loadStory(
        store,
        { plan, profile, lastDay, parse: (rules, text, unit) => language.parse(rules, text, unit) },
        work,
      );
      this.said = stopped ? 'Stopped; what was loaded can be removed.' : 'Loaded. The rigs and people are invented.';
    });
    await this.#read();
  }

  async #removeStory(): Promise<void> {
    await this.#during('Removing', () => removeStory(this.store));
    this.said = 'The made-up checks are removed.';
    await this.#read();
  }

  async #export(
    name: string,
    checks: readonly string[],
    make: (store: ChainedStore, checks: readonly string[], work: Work) => Promise<Exported>,
  ): Promise<void> {
    await this.#during('Exporting', async (work) => {
      const { files, left } = await make(this.store, checks, work);
      const [stem, ending] = name.split('.');
      for (const [at, file] of files.entries())
        saveFile(files.length === 1 ? name : `${stem}-${at + 1}-of-${files.length}.${ending}`, file);
      const parts = files.length === 1 ? '' : ` in ${files.length} files, each of which can be imported alone`;
      this.said =
        left.length === 0
          ? `Exported ${checks.length} checks${parts}.`
          : `Exported${parts}; left out: ${left.slice(0, 3).join(' ')}`;
    });
  }

  async #during(what: string, does: (work: Work) => Promise<void>): Promise<void> {
    const stop = (this.#stop = new AbortController());
    this.said = '';
    this.work = { what, progress: 0 };
    try {
      await does({
        signal: stop.signal,
        steady: this.clock.steady,
        onProgress: (progress) => (this.work = { what, progress }),
      });
    } catch (error) {
      if (!stop.signal.aborted) this.said = `${what} failed: storage does not answer.`;
      else this.said = `${what}: cancelled.`;
      if (!(error instanceof Error)) throw error;
    } finally {
      this.work = undefined;
    }
  }

  override disconnectedCallback(): void {
    super.disconnectedCallback();
    this.#load?.abort();
    this.#stop?.abort();
  }
}

declare global {
  interface HTMLElementTagNameMap {
    'tn-logs-screen': LogsScreen;
  }
}
