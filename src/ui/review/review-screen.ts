import { LitElement, css, html, nothing } from 'lit';
import { customElement, property, state } from 'lit/decorators.js';
import type { OpenDefect } from '../../items/open-defect.ts';
import { openDefectLine } from '../../items/open-defect.ts';
import { FOUND, signReview, type Found, type ReviewInput } from '../../items/report-review.ts';
import type { Source } from '../../judging/result.ts';
import { problemLine } from '../../units/outcome.ts';
import { baseStyles } from '../shared/base-styles.ts';
import { sendUp } from '../shared/events.ts';
import { liveRegion } from '../shared/live-region.ts';
import '../shared/photo.ts';

const FOUND_WORDS: Readonly<Record<Found, string>> = {
  repaired: 'Repaired',
  'still there': 'Still there',
  certified: 'Repair certified',
};

/** The review of the last report, where the limits ask for it: what the driver found of each open defect, and a signature. */
@customElement('tn-review-screen')
export class ReviewScreen extends LitElement {
  @property({ attribute: false }) open: readonly OpenDefect[] = [];
  @property({ attribute: false }) sources: readonly Source[] = [];
  @property() rigName = '';
  @property() driver = '';
  /** ISO 8601 wall time. */
  @property({ attribute: false }) wall!: () => string;
  /** Reads a photo that is kept. */
  @property({ attribute: false }) picture!: (id: string) => Promise<Blob | undefined>;
  @state() private said = '';

  static override styles = [
    baseStyles,
    css`
      main {
        display: grid;
        gap: 0.9rem;
        padding: 1rem;
        max-width: 44rem;
        margin-inline: auto;
      }
      form {
        display: grid;
        gap: 1rem;
      }
      fieldset {
        padding: 0.6rem 0.8rem;
        display: flex;
        flex-wrap: wrap;
        gap: 0.6rem 1.2rem;
        min-width: 0;
        border: 1px solid var(--rule);
      }
      legend {
        font-weight: 700;
        overflow-wrap: anywhere;
      }
      .pick {
        display: flex;
        gap: 0.5rem;
        align-items: center;
        min-height: 3rem;
      }
      .foot {
        display: flex;
        flex-wrap: wrap;
        gap: 0.6rem;
      }
      .refused {
        color: var(--fail);
        font-weight: 700;
      }
    `,
  ];

  override render() {
    return html`<main>
      <h1 tabindex="-1">The last report of ${this.rigName}</h1>
      <p>
        It lists defects that no check has closed since. Before the rig is driven its driver reviews them and signs
        (${this.sources.map(({ document }) => document).join(', ')}). A review closes nothing: each defect is asked
        about again in the walk, and a defect that is still there may keep the rig out of service.
      </p>
      <form @submit=${this.#sign} novalidate>
        ${this.open.map((defect) => this.#defect(defect))}
        <label class="field"
          >Driver <input name="driver" maxlength="60" autocomplete="off" .value=${this.driver}
        /></label>
        ${liveRegion('alert', this.said === '' ? nothing : html`<p class="refused">${this.said}</p>`)}
        <div class="foot">
          <button class="main">Sign and begin the check</button>
          <button type="button" @click=${() => sendUp(this, 'leave', '#')}>Back to the start</button>
        </div>
        <p class="quiet">The signature is sealed into the log of the check with this device’s key.</p>
      </form>
    </main>`;
  }

  #defect(defect: OpenDefect) {
    const { item, title, class: is, photos = [] } = defect;
    return html`<fieldset>
      <legend>${openDefectLine(defect, this.wall())}${is === 'out-of-service' ? ' (out of service)' : ''}</legend>
      ${photos.map((clip) => html`<tn-photo clip=${clip} words="Photo of ${title}" .picture=${this.picture}></tn-photo>`)}
      ${FOUND.map(
        (found) =>
          html`<label class="pick"
            ><input type="radio" name="found-${item}" value=${found} /> ${FOUND_WORDS[found]}</label
          >`,
      )}
      <label class="field">Certified by <input name="by-${item}" maxlength="60" autocomplete="off" /></label>
    </fieldset>`;
  }

  #sign(event: SubmitEvent): void {
    event.preventDefault();
    const data = new FormData(event.target as HTMLFormElement);
    const text = (name: string): string => {
      const value = data.get(name);
      return typeof value === 'string' ? value : '';
    };
    const input: ReviewInput = new Map(
      this.open.map(({ item }) => {
        const found = FOUND.find((each) => each === text(`found-${item}`));
        return [item, { ...(found === undefined ? {} : { found }), by: text(`by-${item}`) }];
      }),
    );
    const review = signReview(this.open, input, text('driver'), this.wall());
    if (review.ok) sendUp(this, 'reviewed', review.value);
    else this.said = problemLine(review.problem);
  }

  protected override firstUpdated(): void {
    this.renderRoot.querySelector<HTMLElement>('h1')?.focus();
  }
}

declare global {
  interface HTMLElementTagNameMap {
    'tn-review-screen': ReviewScreen;
  }
}
