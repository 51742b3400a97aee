import { css, html, nothing } from 'lit';
import { customElement } from 'lit/decorators.js';
import { BUILT_IN_PROFILES } from '../../judging/built-in-profiles.ts';
import { live } from 'lit/directives/live.js';
import { ENGINE_SPEEDS } from '../../judging/measurement.ts';
import type { EngineSpeed, TestId } from '../../judging/measurement.ts';
import type { Limit, LimitProfile, TestLimits } from '../../judging/profile.ts';
import type { Source } from '../../judging/result.ts';
import type { Outcome } from '../../units/outcome.ts';
import { baseStyles } from '../shared/base-styles.ts';
import { SURE_WORDS } from '../shared/words.ts';
import './add-limit.ts';
import { DraftEditor } from './draft-editor.ts';
import type { Drafting } from './drafting.ts';
import { editorField, numberIn } from './editor-field.ts';
import { editorStyles } from './editor-styles.ts';
import { farLimits } from './far-limits.ts';
import { LIMIT_WORDS, SPEED_WORDS, TEST_WORDS } from './limit-words.ts';
import {
  addLimit,
  openFigures,
  removeLimit,
  setBound,
  setCondition,
  setEngineSpeed,
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
export class ProfileEditor extends DraftEditor<LimitProfile> {
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

  protected override doubts(draft: LimitProfile): readonly string[] {
    return farLimits(draft, BUILT_IN_PROFILES);
  }

  override render() {
    const { drafting } = this;
    const profile = drafting.current;
    const text = (key: ProfileText, label: string, kind: 'line' | 'area') =>
      editorField(drafting, {
        name: `profile-${key}`,
        label,
        value: profile[key],
        kind,
        change: (draft, words) => setProfileText(draft, key, words),
      });
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
      ${this.footOf(drafting)}`;
  }

  #test(drafting: Drafting<LimitProfile>, entry: TestLimits) {
    const { test, holdSeconds, belowWarning } = entry;
    return html`<fieldset class="test" data-test=${test}>
      <legend>${TEST_WORDS[test]}</legend>
      ${entry.limits.map((limit, at) => this.#limit(drafting, { test, at }, limit))}
      ${
        holdSeconds === undefined
          ? nothing
          : editorField(drafting, {
              name: `${test}-hold`,
              label: 'Shortest hold that can pass',
              value: String(holdSeconds),
              kind: 'number',
              unit: 'seconds',
              change: (draft, words) => setHoldSeconds(draft, test, numberIn(words)),
            })
      }
      ${this.#span(drafting, entry)} ${this.#engineSpeed(drafting, entry)}
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
        return editorField(drafting, {
          name: `${test}-${end}`,
          label,
          value: String(at.value),
          kind: 'number',
          unit: at.unit,
          change: (draft, words) => setSpanEnd(draft, test, end, numberIn(words)),
        });
      })}
    </div>`;
  }

  #engineSpeed(drafting: Drafting<LimitProfile>, { test, engineSpeed }: TestLimits) {
    if (test !== 'build-up') return nothing;
    const chosen = (event: Event): EngineSpeed | undefined =>
      ENGINE_SPEEDS.find((speed) => speed === (event.target as HTMLSelectElement).value);
    return html`<label class="field"
      >Engine speed that it holds at
      <select
        @change=${(event: Event) => this.#take(drafting, setEngineSpeed(drafting.current, test, chosen(event)), '')}
      >
        <option value="" .selected=${live(engineSpeed === undefined)}>any</option>
        ${ENGINE_SPEEDS.map((speed) => html`<option value=${speed} .selected=${live(speed === engineSpeed)}>${SPEED_WORDS[speed]}</option>`)}
      </select>
    </label>`;
  }

  #limit(drafting: Drafting<LimitProfile>, place: LimitPlace, limit: Limit) {
    const name = `${place.test}-${String(place.at)}`;
    const words = LIMIT_WORDS[limit.figure];
    const { source } = limit;
    const sources = [
      ['document', 'Source'],
      ['section', 'Name of the document, section or page'],
    ] as const;
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
        />The value itself fails, not only what is beyond it</label
      >
      <p class="quiet">
        ${source.document}${source.section === undefined ? '' : `, ${source.section}`}:
        <b>${SURE_WORDS[source.sure]}</b>${limit.about === true ? '; given as “about”' : ''}
      </p>
      <details>
        <summary>Condition and source<span class="unseen"> of ${words}, ${TEST_WORDS[place.test]}</span></summary>
        <div class="more">
          ${editorField(drafting, {
            name: `${name}-condition`,
            label: 'Condition',
            value: limit.condition ?? '',
            kind: 'area',
            change: (draft, text) => setCondition(draft, place, text),
          })}
          ${sources.map(([key, label]) =>
            editorField(drafting, {
              name: `${name}-${key}`,
              label,
              value: source[key] ?? '',
              change: (draft, text) => setSource(draft, place, key, text),
            }),
          )}
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
    return editorField(drafting, {
      name,
      label,
      value: String(limit[bound] ?? ''),
      kind: 'number',
      unit: limit.unit,
      change: (draft, text) => setBound(draft, place, bound, text.trim() === '' ? undefined : numberIn(text)),
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

  protected override finished(draft: LimitProfile): LimitProfile {
    return draft;
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

declare global {
  interface HTMLElementTagNameMap {
    'tn-profile-editor': ProfileEditor;
  }
}
