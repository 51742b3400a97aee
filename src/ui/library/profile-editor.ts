import { LitElement, css, html, nothing } from 'lit';
import { customElement, property, query, state } from 'lit/decorators.js';
import { live } from 'lit/directives/live.js';
import type { TestId } from '../../judging/measurement.ts';
import type { Limit, LimitProfile, TestLimits } from '../../judging/profile.ts';
import type { Source } from '../../judging/result.ts';
import type { Outcome } from '../../units/outcome.ts';
import { baseStyles } from '../shared/base-styles.ts';
import { SURE_WORDS } from '../shared/words.ts';
import './add-limit.ts';
import { Drafting } from './drafting.ts';
import { editorField, numberIn } from './editor-field.ts';
import type { EditorFoot } from './editor-foot.ts';
import './editor-foot.ts';
import { editorStyles } from './editor-styles.ts';
import { LIMIT_WORDS, TEST_WORDS } from './limit-words.ts';
import { showFirstRefused } from './show-first-refused.ts';
import {
  addLimit,
  openFigures,
  removeLimit,
  setBound,
  setCondition,
  setHoldSeconds,
  setProfileText,
  setSource,
  setSpanEnd,
  setStrict,
  setSure,
} from './profile-draft.ts';
import type { Bound, LimitPlace, NewLimit, ProfileText } from './profile-draft.ts';

const TEXTS: readonly (readonly [ProfileText, string, 'line' | 'area'])[] = [
  ['jurisdiction', 'Where they hold', 'line'],
  ['edition', 'Edition', 'line'],
  ['applicability', 'Whom they bind, and what comes before them', 'area'],
];
const SURE = Object.entries(SURE_WORDS) as readonly (readonly [Source['sure'], string])[];

/** Changes a limit profile. Sends `saved` with the profile, always a valid one, or `closed` when it is discarded. */
@customElement('tn-profile-editor')
export class ProfileEditor extends LitElement {
  /** What to begin with; later changes of it are not looked at. */
  @property({ attribute: false }) draft!: LimitProfile;
  @state() private said = '';
  @query('tn-editor-foot') private foot!: EditorFoot;
  #drafting: Drafting<LimitProfile> | undefined;

  static override styles = [
    baseStyles,
    editorStyles,
    css`
      fieldset.test {
        border-top: var(--edge) solid var(--rule);
        padding-top: 0.4rem;
        display: grid;
        gap: 0.7rem;
      }
      .limit {
        display: grid;
        gap: 0.5rem;
      }
      .limit + .limit {
        border-top: 1px solid var(--hair);
        padding-top: 0.6rem;
      }
    `,
  ];

  /** Leaves the editor, after asking when there are changes. */
  discard(): void {
    this.foot.discard();
  }

  override render() {
    this.#drafting ??= new Drafting(this, this.draft);
    const drafting = this.#drafting;
    const profile = drafting.current;
    const text = (key: ProfileText, label: string, kind: 'line' | 'area') =>
      this.#field(drafting, `profile-${key}`, label, profile[key], kind, (words) =>
        setProfileText(drafting.current, key, words),
      );
    return html`${text('title', 'Title of the limits', 'line')}
      <details>
        <summary>About these limits</summary>
        <div class="more">${TEXTS.map(([key, label, kind]) => text(key, label, kind))}</div>
      </details>
      <p class="quiet">
        A changed value no longer comes from the old document: its source becomes the department’s own, to be filled in.
      </p>
      <p class="unseen" role="status">${this.said}</p>
      ${profile.tests.map((entry) => this.#test(drafting, entry))}
      <tn-add-limit
        .open=${openFigures(profile)}
        .add=${(limit: NewLimit) => this.#take(drafting, addLimit(drafting.current, limit), 'The limit is added.')}
      ></tn-add-limit>
      <tn-editor-foot
        class="foot"
        .changed=${drafting.changed || drafting.refusals.size > 0}
        @save=${() => this.#save(drafting)}
        @undo=${() => this.#undo(drafting)}
        @discard=${() => this.dispatchEvent(new CustomEvent('closed'))}
      ></tn-editor-foot>`;
  }

  #test(drafting: Drafting<LimitProfile>, entry: TestLimits) {
    const { test, holdSeconds, belowWarning } = entry;
    return html`<fieldset class="test" data-test=${test}>
      <legend>${TEST_WORDS[test]}</legend>
      ${entry.limits.map((limit, at) => this.#limit(drafting, { test, at }, limit))}
      ${
        holdSeconds === undefined
          ? nothing
          : this.#field(
              drafting,
              `${test}-hold`,
              'Shortest hold that can pass',
              String(holdSeconds),
              'number',
              (text) => setHoldSeconds(drafting.current, test, numberIn(text)),
              'seconds',
            )
      }
      ${this.#span(drafting, entry)}
      ${belowWarning === undefined ? nothing : html`<p class="quiet">It also has to come below the low-air warning.</p>`}
    </fieldset>`;
  }

  #span(drafting: Drafting<LimitProfile>, { test, span }: TestLimits) {
    if (span === undefined) return nothing;
    return html`<div class="pair">
      ${(['from', 'to'] as const).map((end) => {
        const at = span[end];
        const label = `The time is for a rise ${end}`;
        if (!('value' in at))
          return html`<p>${label} ${String(at.times)} × the ${TEST_WORDS[at.of].toLowerCase()} that was measured</p>`;
        return this.#field(
          drafting,
          `${test}-${end}`,
          label,
          String(at.value),
          'number',
          (text) => setSpanEnd(drafting.current, test, end, numberIn(text)),
          at.unit,
        );
      })}
    </div>`;
  }

  #limit(drafting: Drafting<LimitProfile>, place: LimitPlace, limit: Limit) {
    const name = `${place.test}-${String(place.at)}`;
    const words = LIMIT_WORDS[limit.figure];
    const { source } = limit;
    return html`<div class="limit" role="group" aria-label=${words}>
      <p><b>${words}</b></p>
      <div class="pair">
        ${boundsOf(limit).map(([bound, label]) => this.#bound(drafting, place, limit, bound, label, `${name}-${bound}`))}
      </div>
      <label class="tick"
        ><input
          type="checkbox"
          .checked=${live(limit.strict)}
          @change=${(event: Event) => this.#take(drafting, setStrict(drafting.current, place, (event.target as HTMLInputElement).checked), '')}
        />The value itself already fails</label
      >
      <p class="quiet">
        ${source.document}${source.section === undefined ? '' : `, ${source.section}`}:
        <b>${SURE_WORDS[source.sure]}</b>${limit.about === true ? '; the document says “about”' : ''}
      </p>
      <details>
        <summary>Condition and source<span class="unseen"> of ${words}, ${TEST_WORDS[place.test]}</span></summary>
        <div class="more">
          ${this.#field(drafting, `${name}-condition`, 'Condition', limit.condition ?? '', 'area', (text) => setCondition(drafting.current, place, text))}
          ${this.#field(drafting, `${name}-document`, 'Source', source.document, 'line', (text) => setSource(drafting.current, place, 'document', text))}
          ${this.#field(drafting, `${name}-section`, 'Name of the document, section or page', source.section ?? '', 'line', (text) => setSource(drafting.current, place, 'section', text))}
          <label class="field"
            >How sure
            <select
              @change=${(event: Event) => this.#take(drafting, setSure(drafting.current, place, (event.target as HTMLSelectElement).value as Source['sure']), '')}
            >
              ${SURE.map(([sure, label]) => html`<option value=${sure} .selected=${live(sure === source.sure)}>${label}</option>`)}
            </select>
          </label>
          <button
            @click=${() => this.#take(drafting, removeLimit(drafting.current, place), `The limit of ${words} is removed.`, place.test)}
          >
            Remove this limit
          </button>
        </div>
      </details>
    </div>`;
  }

  #bound(drafting: Drafting<LimitProfile>, place: LimitPlace, limit: Limit, bound: Bound, label: string, name: string) {
    const change = (text: string): Outcome<LimitProfile> =>
      setBound(drafting.current, place, bound, text.trim() === '' ? undefined : numberIn(text));
    return this.#field(drafting, name, label, String(limit[bound] ?? ''), 'number', change, limit.unit);
  }

  #field(
    drafting: Drafting<LimitProfile>,
    name: string,
    label: string,
    value: string,
    kind: 'line' | 'number' | 'area',
    change: (text: string) => Outcome<LimitProfile>,
    unit?: string,
  ) {
    return editorField({
      name,
      label,
      value,
      kind,
      refusal: drafting.refusals.get(name),
      enter: (text) => drafting.enter(name, text, change(text)),
      ...(unit === undefined ? {} : { unit }),
    });
  }

  #take(
    drafting: Drafting<LimitProfile>,
    next: Outcome<LimitProfile>,
    done: string,
    from?: TestId,
  ): string | undefined {
    const refused = drafting.take(next);
    this.said = refused ?? done;
    if (refused === undefined && from !== undefined) {
      drafting.refusals.clear();
      // The button that had the focus is gone with its limit.
      void this.updateComplete.then(() => this.renderRoot.querySelector<HTMLElement>('#profile-title')?.focus());
    }
    return refused;
  }

  #undo(drafting: Drafting<LimitProfile>): void {
    drafting.undo();
    this.said = 'The last change is taken back.';
  }

  #save(drafting: Drafting<LimitProfile>): void {
    if (drafting.refusals.size > 0) showFirstRefused(this.renderRoot);
    else this.dispatchEvent(new CustomEvent<LimitProfile>('saved', { detail: drafting.current }));
  }
}

/** The ends a limit can have, with their labels. */
function boundsOf({ figure, maxTimesCapacity }: Limit): readonly (readonly [Bound, string])[] {
  const least = ['min', 'At least'] as const;
  const most =
    maxTimesCapacity === undefined
      ? (['max', 'At most'] as const)
      : (['maxTimesCapacity', 'At most, × actual ÷ required reservoir volume'] as const);
  return figure === 'rate' || maxTimesCapacity !== undefined ? [most] : [least, most];
}
