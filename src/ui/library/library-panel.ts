import { LitElement, html, nothing } from 'lit';
import { customElement, property, query, state } from 'lit/decorators.js';
import type { Plan } from '../../check/plan.ts';
import type { LimitProfile } from '../../judging/profile.ts';
import { placesOf } from '../../check/places.ts';
import { unheardLine, unheardWords } from '../../items/unheard-words.ts';
import { problemLine } from '../../units/outcome.ts';
import { baseStyles } from '../shared/base-styles.ts';
import { pickStyles } from '../shared/pick-styles.ts';
import { libraryPanelStyles } from './library-panel-styles.ts';
import type { Library, ShelfName, TakenIn } from './library.ts';
import { saveFile } from './save-file.ts';
import { copyId, fileText } from './shelf.ts';
import { draftOf } from './plan-draft.ts';
import type { PlanDraft } from './plan-draft.ts';
import type { PlanEditor } from './plan-editor.ts';
import './plan-editor.ts';
import type { ProfileEditor } from './profile-editor.ts';
import './profile-editor.ts';
import { on, sendUp } from '../shared/events.ts';
import { liveRegion } from '../shared/live-region.ts';

/** Files above this are no plans; reading them would only make the page hang. */
const MOST_BYTES = 1_000_000;

const WORDS: Record<ShelfName, { readonly heading: string; readonly pick: string; readonly file: string }> = {
  plans: { heading: 'Plan', pick: 'Import a plan', file: 'plan' },
  profiles: { heading: 'Limits', pick: 'Import limits', file: 'limits' },
};

/** What is open in the dialog. */
type Editing =
  | { readonly shelf: 'plans'; readonly draft: PlanDraft }
  | { readonly shelf: 'profiles'; readonly draft: LimitProfile };

async function fetchDictionary(): Promise<string> {
  const answer = await fetch(new URL('models/embedded/dict.txt', document.baseURI));
  if (!answer.ok) throw new Error('There is no dictionary.');
  return answer.text();
}

/**
 * Import, export, change and remove of plans and limit profiles, for those that are chosen for the next check.
 * Sends `settings` with what is to be chosen now, after each change of the library.
 */
@customElement('tn-library')
export class LibraryPanel extends LitElement {
  @property({ attribute: false }) library!: Library;
  /** Ids of what is chosen; the first one where the id is not known. */
  @property() planId = '';
  @property() profileId = '';
  /** The words that the built-in ears know; rejects where it cannot be fetched. */
  @property({ attribute: false }) dictionary: () => Promise<string> = fetchDictionary;
  @state() private refused: readonly string[] = [];
  @state() private done = '';
  /** Words of the last plan that no ear has, in one line. */
  @state() private unheard = '';
  @state() private over = false;
  @state() private editing: Editing | undefined;
  @query('dialog') private dialog!: HTMLDialogElement;
  @query('section') private section!: HTMLElement;

  static override styles = [baseStyles, pickStyles, libraryPanelStyles];

  override render() {
    return html`<section
        aria-label="Plans and limits"
        class=${this.over ? 'over' : ''}
        tabindex="-1"
        @dragover=${this.#dragOver}
        @dragleave=${() => (this.over = false)}
        @drop=${(event: DragEvent) => void this.#drop(event)}
      >
        <h2>Plans and limits</h2>
        <p class="quiet">Your own are kept on this device. Drop files here, or choose them.</p>
        ${liveRegion(
          'alert',
          this.refused.map((line) => html`<p class="refused">${line}</p>`),
        )}
        ${liveRegion('status', this.done, { look: 'done' })}
        ${liveRegion('status', this.unheard === '' ? '' : html`<p class="refused">${this.unheard}</p>`)}
        ${this.#shelf('plans')} ${this.#shelf('profiles')} ${this.#unusable('plans')} ${this.#unusable('profiles')}
      </section>
      ${this.#editor()}`;
  }

  #shelf(shelf: ShelfName) {
    const item = this.#chosen(shelf);
    const { heading, pick, file } = WORDS[shelf];
    const own = item !== undefined && this.library[shelf].own.some(({ id }) => id === item.id);
    return html`<div class="shelf">
      <h3>${heading}</h3>
      ${
        item === undefined
          ? nothing
          : html`<p><b>${item.title}</b> <span class="quiet">${own ? 'your own' : 'built in'}</span></p>
              <div class="row">
                ${
                  own
                    ? html`<button @click=${() => this.#edit(item, false)}>
                        Change<span class="unseen"> ${item.title}</span>
                      </button>`
                    : nothing
                }
                <button @click=${() => this.#edit(item, true)}>
                  Copy and change<span class="unseen"> ${item.title}</span>
                </button>
                <button @click=${() => saveFile(`${item.id}.${file}.json`, fileText(item))}>
                  Export<span class="unseen"> ${item.title}</span>
                </button>
                ${
                  own
                    ? html`<button @click=${() => this.#remove(shelf, item)}>
                        Remove<span class="unseen"> ${item.title}</span>
                      </button>`
                    : nothing
                }
              </div>`
      }
      <label class="pick"
        >${pick}<input
          type="file"
          accept=".json,application/json"
          multiple
          @change=${(event: Event) => void this.#picked(event, shelf)}
      /></label>
    </div>`;
  }

  #unusable(shelf: ShelfName) {
    return this.library[shelf].unusable.map(
      ({ at, name, reason }) =>
        html`<div class="unusable">
          <p><b>Kept, but not usable.</b> ${reason}</p>
          <button
            @click=${() => {
              this.library.removeUnusable(shelf, at);
              this.#say(`Removed: ${name}.`);
            }}
          >
            Remove<span class="unseen"> ${name}</span>
          </button>
        </div>`,
    );
  }

  #editor() {
    const { editing } = this;
    const form =
      editing?.shelf === 'plans'
        ? html`<tn-plan-editor
            .draft=${editing.draft}
            .knownCues=${this.library.knownCues}
            ${on({ saved: (item) => this.#keep(item), closed: () => this.dialog.close() })}
          ></tn-plan-editor>`
        : html`<tn-profile-editor
            .draft=${editing?.draft}
            ${on({ saved: (item) => this.#keep(item), closed: () => this.dialog.close() })}
          ></tn-profile-editor>`;
    const heading = editing?.shelf === 'plans' ? 'Change a plan' : 'Change limits';
    return html`<dialog aria-label=${heading} @cancel=${this.#cancel} @close=${() => (this.editing = undefined)}>
      ${
        editing === undefined
          ? nothing
          : html`<h2 tabindex="-1">${heading}</h2>
              ${form}`
      }
    </dialog>`;
  }

  #edit(item: Plan | LimitProfile, copy: boolean): void {
    const shelf = item.format === 'two-needles-plan' ? 'plans' : 'profiles';
    const id = copy ? copyId(item.id, this.library[shelf].all) : item.id;
    const title = copy ? `${item.title}, copy` : item.title;
    this.editing =
      item.format === 'two-needles-plan'
        ? {
            shelf: 'plans',
            draft: draftOf(
              item,
              id,
              title,
              this.library.plans.all.filter((plan) => plan !== item),
            ),
          }
        : { shelf: 'profiles', draft: { ...item, id, title } };
    void this.updateComplete.then(() => this.dialog.showModal());
  }

  #keep(item: Plan | LimitProfile): void {
    const kept = this.library.keep(item);
    this.dialog.close();
    this.refused = kept.ok ? [] : [problemLine(kept.problem)];
    if (!kept.ok) return;
    this.#choose(kept.value);
    this.#say(`Saved and chosen: ${kept.value.title}.`);
  }

  /** Escape asks first, as the button does. */
  #cancel(event: Event): void {
    event.preventDefault();
    this.dialog.querySelector<PlanEditor | ProfileEditor>('tn-plan-editor, tn-profile-editor')?.discard();
  }

  #chosen(shelf: ShelfName): Plan | LimitProfile | undefined {
    const wanted = shelf === 'plans' ? this.planId : this.profileId;
    const all: readonly (Plan | LimitProfile)[] = this.library[shelf].all;
    return all.find(({ id }) => id === wanted) ?? all[0];
  }

  #dragOver(event: DragEvent): void {
    if (event.dataTransfer?.types.includes('Files') !== true) return;
    event.preventDefault();
    this.over = true;
  }

  async #drop(event: DragEvent): Promise<void> {
    event.preventDefault();
    this.over = false;
    await this.#import([...(event.dataTransfer?.files ?? [])]);
  }

  async #picked(event: Event, shelf: ShelfName): Promise<void> {
    const input = event.target as HTMLInputElement;
    const files = [...(input.files ?? [])];
    // The same file, corrected, can be chosen again.
    input.value = '';
    await this.#import(files, shelf);
  }

  async #import(files: readonly File[], shelf?: ShelfName): Promise<void> {
    const refused: string[] = [];
    const taken: TakenIn[] = [];
    for (const file of files) {
      if (file.size > MOST_BYTES) {
        refused.push(`${file.name}: The file is larger than 1 MB, so it is no plan and no limit profile.`);
        continue;
      }
      const text = await file.text().catch(() => undefined);
      if (text === undefined) {
        refused.push(`${file.name}: The file cannot be read. Choose it again.`);
        continue;
      }
      const read = this.library.importText(text, file.name, shelf);
      if (read.ok) taken.push(read.value);
      else refused.push(problemLine(read.problem));
    }
    this.refused = refused;
    for (const each of taken) this.#choose(each);
    this.#say(taken.map(({ title, replaced }) => `${replaced ? 'Replaced' : 'Added'} and chosen: ${title}.`).join(' '));
  }

  #remove(shelf: ShelfName, { id, title }: { readonly id: string; readonly title: string }): void {
    this.library.remove(shelf, id);
    this.refused = [];
    const [first] = this.library[shelf].all;
    this.#choose({ shelf, id: first?.id ?? '' });
    this.#say(`Removed: ${title}.`);
    this.section.focus();
  }

  #say(line: string): void {
    this.done = line;
    this.requestUpdate();
  }

  /** Said of a plan that was taken in and is kept: it goes by touch where it is not heard. */
  async #tellUnheard(id: string): Promise<void> {
    this.unheard = '';
    const plan = this.library.plans.all.find((each) => each.id === id);
    const places = plan === undefined ? [] : placesOf(plan);
    if (plan === undefined || places.length === 0) return;
    const dictionary = await this.dictionary().catch(() => undefined);
    if (dictionary !== undefined) this.unheard = unheardLine(plan.title, unheardWords(places, dictionary));
  }

  #choose({ shelf, id }: Pick<TakenIn, 'shelf' | 'id'>): void {
    if (shelf === 'plans') void this.#tellUnheard(id);
    const detail = shelf === 'plans' ? { planId: id } : { profileId: id };
    sendUp(this, 'settings', detail);
    this.requestUpdate();
  }
}

declare global {
  interface HTMLElementTagNameMap {
    'tn-library': LibraryPanel;
  }
}
