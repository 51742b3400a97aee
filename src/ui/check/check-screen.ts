import { html, nothing } from 'lit';
import { customElement, property, query } from 'lit/decorators.js';
import { repeat } from 'lit/directives/repeat.js';
import type { Settings } from '../../running/settings.ts';
import { CabScreen } from '../cab/cab-screen.ts';
import { cabStyles } from '../cab/cab-styles.ts';
import { baseStyles } from '../shared/base-styles.ts';
import { testNote } from '../shared/test-note.ts';
import '../shared/verdict-card.ts';
import { verdictStyles } from '../shared/verdict-look.ts';
import type { CheckMenu } from './check-menu.ts';
import './check-menu.ts';
import { checkScreenStyles } from './check-screen-styles.ts';
import './needle-pair.ts';
import { liveRegion } from '../shared/live-region.ts';

/** The Check screen: a check in a real cab, or a demo of one. */
@customElement('tn-check-screen')
export class CheckScreen extends CabScreen {
  /** Whom the limits bind; shown behind “why?”. */
  @property() applicability = '';
  @property({ attribute: false }) settings!: Settings;
  /** A demo is watched, not answered. */
  @property({ type: Boolean }) watched = false;
  @query('tn-check-menu') private menu!: CheckMenu;

  static override styles = [baseStyles, verdictStyles, cabStyles, checkScreenStyles];

  protected override get takesKeys(): boolean {
    return !this.watched && !this.menu.open;
  }

  protected override get opensPad(): boolean {
    return !this.watched && this.live.ear === 'unavailable';
  }

  protected override showHelp(): void {
    this.menu.show();
  }

  override render() {
    const { model, live } = this;
    return html`
      <header class="strip">
        <span class="place"><span class="word">Step </span>${model.number} of ${model.count}</span>
        <span class="pips" aria-hidden="true"
          >${Array.from({ length: model.count }, (_, i) => html`<i class=${i + 1 < model.number ? 'past' : i + 1 === model.number ? 'here' : ''}></i>`)}</span
        >
        ${this.earLight(this.watched)} ${this.clock()}
      </header>
      <div class="columns">
        <main class="now ${this.entering ? 'entering' : ''}">
          ${this.asked()}
          <section class="task">
            <p class="title" id="step">${model.step.title}</p>
            ${this.instruction()}
          </section>
          ${this.#place()} ${this.remarks()}
          <div class="glance" ?hidden=${model.place !== undefined && model.bar === undefined}>
            ${model.place === undefined ? html`<tn-needle-pair .needles=${model.needles} .unit=${model.unit}></tn-needle-pair>` : nothing}
            ${this.timed()}
          </div>
          ${this.watched ? nothing : this.#sayable()} ${this.newest()} ${this.heard()} ${this.says()}
          ${testNote(model.note)}
        </main>
        <aside class="side">
          ${this.ear(this.watched)}
          ${liveRegion(
            'status',
            live.notices.map((line) => html`<p class="notice">${line}</p>`),
          )}
          ${this.#defects()} ${this.#verdicts()}
        </aside>
      </div>
      ${
        this.watched
          ? html`<footer class="foot"><button @click=${() => this.act({ do: 'leave' })}>Stop the demo</button></footer>`
          : this.foot('More')
      }
      <tn-check-menu .settings=${this.settings}></tn-check-menu>
    `;
  }

  /** The list of a place comes with its first walk. */
  #place() {
    const { place } = this.model;
    if (place === undefined) return nothing;
    void import('./items-panel.ts');
    return html`<tn-items-panel .place=${place} .photos=${this.live.photos} ?watched=${this.watched}></tn-items-panel>`;
  }

  /** What is bad of the places that were left. */
  #defects() {
    const { defects = [] } = this.model;
    if (defects.length === 0 || this.watched) return nothing;
    void import('./item-photos.ts');
    return html`<section class="defects" aria-label="Photos of defects">
      <h2>Photos of defects</h2>
      <p class="quiet">They stay on this device, without the place and time that a camera writes into them.</p>
      ${repeat(
        defects,
        ({ id }) => id,
        ({ id, title, words }) =>
          html`<p>${title}: ${words}</p>
            <tn-item-photos item=${id} words=${title} .photos=${this.live.photos}></tn-item-photos>`,
      )}
    </section>`;
  }

  #verdicts() {
    const { verdicts } = this.model;
    return html`<section class="verdicts" aria-label="Verdicts so far">
      <h2>Verdicts so far</h2>
      ${verdicts.length === 0 ? html`<p class="quiet">None yet.</p>` : nothing}
      ${repeat(
        verdicts.toReversed(),
        ({ id }) => id,
        ({ title, result }) =>
          html`<tn-verdict-card
            heading=${title}
            .result=${result}
            applicability=${this.applicability}
          ></tn-verdict-card>`,
      )}
    </section>`;
  }

  #sayable() {
    const { model } = this;
    return html`<section class="say" aria-label="What you can say or press">
      <h2>Say or press</h2>
      <div class="cues">
        ${model.cues.map((button) => this.cue(button))}
        ${
          model.wantsReading && model.question === undefined
            ? html`<button
                class="readings"
                aria-expanded=${this.entering}
                @click=${() => (this.entering ? this.close() : this.open(false))}
              >
                ${this.entering ? 'Close the pad' : 'Enter the needles'}
              </button>`
            : nothing
        }
        ${this.correctButton()}
      </div>
      ${this.entering ? this.pad() : nothing}
      ${model.sayable.length === 0 ? nothing : html`<p class="phrases"><span class="quiet">For example:</span> ${model.sayable.map((phrase) => html`<q>${phrase}</q> `)}</p>`}
    </section>`;
  }
}

declare global {
  interface HTMLElementTagNameMap {
    'tn-check-screen': CheckScreen;
  }
}
