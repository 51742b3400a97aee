import { LitElement, html, nothing } from 'lit';
import type { PropertyValues } from 'lit';
import { customElement, property, query, state } from 'lit/decorators.js';
import { defectsOf, isClosed, type Defect } from '../../audit/defects.ts';
import { rowsOf, type Row } from '../../audit/row.ts';
import { trendsOf, warns, worstLamp, type RigTrend } from '../../audit/trends.ts';
import type { RigSettings } from '../../judging/result.ts';
import type { ChainedStore } from '../../record/chained-store.ts';
import { breather } from '../../record/pace.ts';
import { DUE_EVERY, departmentDueHours, keepDepartmentDueHours, rigDefaults } from '../../running/rig-defaults.ts';
import type { SmallStore } from '../../running/settings.ts';
import type { Clock } from '../../units/clock.ts';
import { baseStyles } from '../shared/base-styles.ts';
import { randomId } from '../shared/random-id.ts';
import { LAMP_WORDS } from '../shared/trend-chart.ts';
import { toneOf, verdictStyles, verdictText } from '../shared/verdict-look.ts';
import { figureName } from '../shared/words.ts';
import { checkHref } from '../shell/places.ts';
import './people-panel.ts';
import '../start/rig-form.ts';
import type { Named } from '../start/rig-form.ts';
import { rigsScreenStyles } from './rigs-screen-styles.ts';
import { on, send } from '../shared/events.ts';
import { liveRegion } from '../shared/live-region.ts';

/** In the place of a rig's id: the people of the department. */
const PEOPLE_PAGE = 'people';

/** A rig as it is shown: its settings, when it has any on this device, and what its checks say. */
interface RigCard {
  readonly id: string;
  readonly name: string;
  readonly settings?: RigSettings;
  readonly checks: number;
  readonly last?: Row;
  readonly trends: readonly RigTrend[];
  readonly defects: readonly Defect[];
}

/** The rigs: settings, last check, where their figures are heading, what is open. Sends `rig` with changed settings. */
@customElement('tn-rigs-screen')
export class RigsScreen extends LitElement {
  @property({ attribute: false }) store!: ChainedStore;
  /** Ms that only grow, by which long work lets the page live. */
  @property({ attribute: false }) steady!: Clock['steady'];
  @property({ attribute: false }) rigs: readonly RigSettings[] = [];
  /** Where the people of this device are kept. */
  @property({ attribute: false }) small!: SmallStore;
  /** ISO 8601. */
  @property({ attribute: false }) wall!: () => string;
  /** What can be chosen for a rig. */
  @property({ attribute: false }) plans: readonly Named[] = [];
  @property({ attribute: false }) profiles: readonly Named[] = [];
  /** `people`, or empty for the rigs. */
  @property() page = '';
  @state() private cards: readonly RigCard[] = [];
  @state() private editing: RigSettings | undefined;
  @state() private removed: RigSettings | undefined;
  @query('dialog') private dialog!: HTMLDialogElement;
  #rows: readonly Row[] | undefined;
  #load: AbortController | undefined;

  static override styles = [baseStyles, verdictStyles, rigsScreenStyles];

  protected override willUpdate(changed: PropertyValues<this>): void {
    if (changed.has('store') || changed.has('rigs')) void this.#read(changed.has('store'));
  }

  override render() {
    if (this.page === PEOPLE_PAGE)
      return html`<tn-people .store=${this.store} .small=${this.small} .wall=${this.wall}></tn-people>`;
    return html`<main>
        <h1 tabindex="-1">Rigs</h1>
        <p class="quiet">
          What was measured, against which limits. It does not replace an inspection by a licensed technician.
        </p>
        ${liveRegion(
          'status',
          this.removed === undefined
            ? ''
            : html`${this.removed.name} is no longer offered on this device; its checks stay in the record.
                <button @click=${() => this.#takeBack()}>Undo</button>`,
          { look: 'row' },
        )}
        <div class="cards">${this.cards.map((card) => this.#card(card))}</div>
        <div class="row">
          <button @click=${() => this.#edit({ id: randomId(), name: '', unit: 'psi' })}>Add a rig</button>
        </div>
        <label class="field"
          >A check of a rig is due
          <select
            @change=${(event: Event) => keepDepartmentDueHours(this.small, Number((event.target as HTMLSelectElement).value))}
          >
            ${DUE_EVERY.map(([hours, words]) => html`<option value=${hours} ?selected=${hours === departmentDueHours(this.small)}>${words}</option>`)}
          </select>
        </label>
        <p><a href="#rigs/people">People: operators, officers and their PINs</a></p>
      </main>
      <dialog aria-label="Rig" @close=${() => (this.editing = undefined)}>
        <h2>Rig</h2>
        ${
          this.editing === undefined
            ? nothing
            : html`<tn-rig-form
                .rig=${this.editing}
                .defaults=${rigDefaults(this.small, this.editing.id)}
                .plans=${this.plans}
                .profiles=${this.profiles}
                ${on({
                  closed: () => this.dialog.close(),
                  rig: (rig) => this.#keep(rig),
                  'rig-defaults': (of) => send(this, 'rig-defaults', of),
                })}
              ></tn-rig-form>`
        }
      </dialog>`;
  }

  #card(card: RigCard) {
    const { id, name, settings, checks, last, trends, defects } = card;
    const lamp = LAMP_WORDS[worstLamp(trends)];
    const open = defects.filter((defect) => !isClosed(defect));
    return html`<article class="panel" aria-label=${name}>
      <div class="row top">
        <h2>${name}</h2>
        ${
          settings === undefined
            ? nothing
            : html`<button @click=${() => this.#edit(settings)}>Edit<span class="unseen"> ${name}</span></button>
                <button @click=${() => this.#remove(settings)}>Remove<span class="unseen"> ${name}</span></button>`
        }
      </div>
      <p class="quiet">${settings === undefined ? 'Known from logs only.' : settingsLine(settings)}</p>
      ${
        last === undefined
          ? html`<p>No check yet.</p>`
          : html`<p>
              Last check:
              <a href=${checkHref(last.id)}
                >${new Date(last.date).toLocaleDateString([], { dateStyle: 'medium' })},
                <b class=${toneOf(last.verdict)}>${verdictText(last.verdict)}</b></a
              >
            </p>`
      }
      ${
        // What is well is not told beside what is broken.
        checks === 0 || (open.length > 0 && !warns(worstLamp(trends)))
          ? nothing
          : html`<p class="lamp ${lamp.tone}">
              <span class="mark" aria-hidden="true">${lamp.mark}</span> ${worstName(trends)}${lamp.words}
            </p>`
      }
      ${open.map((defect) => this.#defect(defect))}
      ${defects.length > open.length ? html`<p class="quiet">${defects.length - open.length} closed ${defects.length - open.length === 1 ? 'defect' : 'defects'}.</p>` : nothing}
      ${
        trends.length === 0
          ? nothing
          : html`<details>
              <summary>Trends<span class="unseen"> of ${name}</span></summary>
              ${trends.map((each) => html`<tn-trend-chart .trend=${each}></tn-trend-chart>`)}
            </details>`
      }
      ${
        // What is well is not told beside what is broken.
        checks === 0 || (open.length > 0 && !warns(worstLamp(trends)))
          ? nothing
          : html`<p>
              <a href="#logs?rig=${encodeURIComponent(id)}"
                >All ${checks} checks<span class="unseen"> of ${name}</span></a
              >
            </p>`
      }
    </article>`;
  }

  #defect({ title, opened, latest, repair, passed }: Defect) {
    const wanted = [
      repair === undefined ? 'a note of the repair (written in the log of the check that failed)' : '',
      passed === undefined ? 'a re-check inside the limit' : '',
    ].filter((part) => part !== '');
    return html`<div class="defect">
      <p><b>Open defect: ${title}</b></p>
      <p>
        Outside its limit since
        <a href=${checkHref(opened.check)}>${dayOf(opened.date)}</a
        >${latest.check === opened.check ? nothing : html`, last on <a href=${checkHref(latest.check)}>${dayOf(latest.date)}</a>`}.
        Closed by: ${wanted.join(' and ')}.
      </p>
      ${repair === undefined ? nothing : html`<p>${repair.officer}: ${repair.text}</p>`}
    </div>`;
  }

  #edit(rig: RigSettings): void {
    this.editing = rig;
    void this.updateComplete.then(() => this.dialog.showModal());
  }

  #remove(rig: RigSettings): void {
    this.removed = rig;
    send(this, 'rig-removed', rig.id);
  }

  #takeBack(): void {
    if (this.removed !== undefined) send(this, 'rig', this.removed);
    this.removed = undefined;
  }

  #keep(rig: RigSettings): void {
    this.dialog.close();
    send(this, 'rig', rig);
  }

  /** The rigs at once; what their checks say, rig by rig. */
  async #read(anew: boolean): Promise<void> {
    this.#load?.abort();
    const load = (this.#load = new AbortController());
    const bare = this.rigs.map((settings) => ({ id: settings.id, name: settings.name, settings }));
    if (anew || this.#rows === undefined) {
      this.cards = bare.map((each) => ({ ...each, checks: 0, trends: [], defects: [] }));
      this.#rows = rowsOf(await this.store.heads());
    }
    const rows = this.#rows;
    const others = new Map(rows.map(({ rigId, rigName }) => [rigId, rigName]));
    for (const { id } of bare) others.delete(id);
    const all = [...bare, ...[...others].map(([id, name]) => ({ id, name }))];
    const defects = defectsOf(rows);
    const breathe = breather({ signal: load.signal, steady: this.steady });
    const cards: RigCard[] = [];
    try {
      for (const each of all) {
        await breathe();
        // Newest first, as the store gives them.
        const own = rows.filter(({ rigId }) => rigId === each.id);
        const [last] = own;
        cards.push({
          ...each,
          checks: own.length,
          ...(last === undefined ? {} : { last }),
          trends: trendsOf(own, each.id),
          defects: defects.filter(({ rigId }) => rigId === each.id),
        });
      }
    } catch (error) {
      if (load.signal.aborted) return;
      throw error;
    }
    this.cards = cards;
  }

  override disconnectedCallback(): void {
    super.disconnectedCallback();
    this.#load?.abort();
  }
}

function settingsLine({ unit, fitted, reservoirs }: RigSettings): string {
  const parts = [
    unit,
    fitted?.handValve === true ? 'hand valve' : '',
    fitted?.fastIdle === true ? 'fast idle' : '',
    fitted?.trailer === true ? 'trailer' : '',
    reservoirs?.primary === undefined || reservoirs.secondary === undefined
      ? 'reservoirs not given'
      : 'reservoirs given',
  ];
  return `${parts.filter((part) => part !== '').join(', ')}.`;
}

/** Which figure the lamp is about, when it warns. */
function worstName([worst]: readonly RigTrend[]): string {
  if (worst === undefined || !warns(worst.lamp)) return '';
  const when =
    worst.lamp === 'soon' && worst.trend.kind === 'trend' && worst.trend.meets !== undefined
      ? `, to meet it on ${worst.trend.meets.date}`
      : '';
  return `${worst.title}, ${figureName(worst.figure)}${when}: `;
}

function dayOf(date: string): string {
  return new Date(date).toLocaleDateString([], { dateStyle: 'medium' });
}

declare global {
  interface HTMLElementTagNameMap {
    'tn-rigs-screen': RigsScreen;
  }
}
