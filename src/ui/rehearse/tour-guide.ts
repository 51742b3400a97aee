import { LitElement, css, html, nothing, type TemplateResult } from 'lit';
import type { PropertyValues } from 'lit';
import { customElement, property, query, state } from 'lit/decorators.js';
import { TONE_MEANINGS, TONE_NAMES, type ToneName } from '../../answering/tones.ts';
import { view } from '../../check/view.ts';
import type { StepResult } from '../../judging/result.ts';
import { TOUR_HOLD_SECONDS, TOUR_PHRASES } from '../../rehearsal/tour.ts';
import type { Rehearsed } from '../../running/live-rehearsal.ts';
import { baseStyles } from '../shared/base-styles.ts';
import { send } from '../shared/events.ts';
import '../shared/verdict-card.ts';
import { verdictStyles } from '../shared/verdict-look.ts';

/** Those of a hold, in the order in which they are met. */
const HOLD = 2;
const VERDICT = 3;

/**
 * The pages before and after the hold of the tour; the hold itself is a rehearsal. Sends `again` when the hold is to be done, and `leave`
 * with the address to go on at.
 */
@customElement('tn-tour-guide')
export class TourGuide extends LitElement {
  /** The hold that was done; with it the tour stands at its last page. */
  @property({ attribute: false }) over: Rehearsed | undefined;
  @property({ attribute: false }) play: (tone: ToneName) => void = () => undefined;
  /** Sounds are played at volume 0. */
  @property({ type: Boolean }) mute = false;
  @state() private page = 0;
  @query('h1') private heading!: HTMLElement;

  static override styles = [
    baseStyles,
    verdictStyles,
    css`
      main {
        display: grid;
        gap: 0.8rem;
        padding: 1rem;
        max-width: 44rem;
        margin-inline: auto;
      }
      h1 {
        font-size: 1.5rem;
      }
      .at {
        color: var(--quiet);
      }
      ol {
        margin: 0;
        padding-left: 1.4rem;
      }
      ul {
        margin: 0;
        padding: 0;
        list-style: none;
      }
      ul li {
        display: flex;
        justify-content: space-between;
        align-items: center;
        gap: 0.6rem;
        padding-block: 0.15rem;
        border-bottom: 1px solid var(--hair);
      }
      dl {
        display: grid;
        gap: 0.15rem;
        margin: 0;
      }
      dt {
        font-weight: 700;
      }
      dd {
        margin: 0 0 0.3rem;
      }
      /* In sight on a phone, too. */
      .go {
        position: sticky;
        bottom: 0;
        padding-block: 0.6rem;
        background: var(--ground);
      }
    `,
  ];

  protected override willUpdate(changed: PropertyValues<this>): void {
    if (changed.has('over') && this.over !== undefined) this.page = VERDICT;
  }

  protected override updated(changed: PropertyValues): void {
    // Whoever does not see the page is told that it is another.
    if (changed.has('page')) this.heading.focus();
  }

  override render() {
    const { title, text } = (PAGES[this.page] ?? PAGES[0])(this);
    return html`<main>
      <p class="at" id="at">Two-minute tour, ${this.page + 1} of ${PAGES.length}</p>
      <h1 tabindex="-1" aria-describedby="at">${title}</h1>
      ${text} ${this.#ways()}
    </main>`;
  }

  #ways() {
    const { page } = this;
    const back = page === 0 ? nothing : html`<button @click=${() => (this.page -= 1)}>Back</button>`;
    if (page === VERDICT)
      return html`<div class="row go">
        <button class="main" @click=${() => send(this, 'leave', '#')}>To the start</button>
        <button @click=${() => send(this, 'leave', '#rehearse')}>Rehearse more</button>
        <button @click=${() => send(this, 'again')}>Do the hold again</button>
        ${back}
      </div>`;
    const on =
      page === HOLD
        ? html`<button class="main" @click=${() => send(this, 'again')}>Do the hold</button>
            <button @click=${() => (this.page = VERDICT)}>Skip the hold</button>`
        : html`<button class="main" @click=${() => (this.page += 1)}>Next</button>`;
    return html`<div class="row go">
      ${on} ${back}
      <button @click=${() => send(this, 'leave', '#')}>Leave the tour</button>
    </div>`;
  }
}

interface Page {
  readonly title: string;
  readonly text: TemplateResult;
}

const PAGES = [purpose, hearing, hold, verdict] as const;

function purpose(): Page {
  return {
    title: 'What it is for',
    text: html`<p class="caution">
        <b>A rig can roll.</b> Level ground. Wheels chocked until the plan says otherwise. Nobody under or around the
        rig. Do not drive on a failed check.
      </p>
      <p>
        You do the air brake check, alone in the cab, and call what you see. Two Needles is the second person: it says
        what comes next, times the holds, reckons each figure against a limit whose source it names, and keeps the
        record. It never sees the gauges; it takes your word.
      </p>
      <p>
        This tour has four pages. Its hold is on a simulated rig: nothing real moves. You may leave at any page, and
        come back from the start screen, from Rehearse or from the guide.
      </p>`,
  };
}

function hearing({ play, mute }: TourGuide): Page {
  return {
    title: 'What it listens for, and what its tones mean',
    text: html`<p>
        Needles, both in one breath: <q>${TOUR_PHRASES.needles}</q>. What you did:
        ${TOUR_PHRASES.cues.map((phrase) => html`<q>${phrase}</q>, `)}and so on; the screen shows what it waits for. At
        any time: ${TOUR_PHRASES.always.map((phrase, at) => html`${at === 0 ? '' : ', '}<q>${phrase}</q>`)}.
      </p>
      <p>
        Speak as to somebody beside you, the device within an arm’s length. You need not wait until it has spoken. What
        would fail, or was heard badly, is asked first: yes means fail. In a loud cab hold the space bar or the large
        pad while you talk (Settings). No microphone: press the buttons, or type.
      </p>
      <section aria-labelledby="tones">
        <h2 id="tones">Tones</h2>
        ${mute ? html`<p>The volume is 0 in the settings: the tones are told here, and not heard.</p>` : nothing}
        <ul>
          ${TONE_NAMES.map((name) => {
            const { sounds, means } = TONE_MEANINGS[name];
            return html`<li>
              <span><b>${means}</b>: ${sounds}</span>
              <button @click=${() => play(name)}>Play<span class="unseen"> the tone: ${means}</span></button>
            </li>`;
          })}
        </ul>
        <p class="quiet">Whatever a tone says also stands on the screen.</p>
      </section>`,
  };
}

function hold(): Page {
  return {
    title: 'One real hold',
    text: html`<p>
        Static leakage: with the engine off and the brakes released, how much air is lost in a minute? Here the hold is
        shortened to ${TOUR_HOLD_SECONDS} s.
      </p>
      <ol>
        <li>Say or press what the screen asks for: engine off, brakes released, settled.</li>
        <li>Call both needles as you see them. One long note: the hold runs.</li>
        <li>Keep off the pedal, and watch. Two short notes: ten seconds are left.</li>
        <li>At three short high notes call both needles again.</li>
      </ol>
      <p>
        By voice, if you let the browser use the microphone; else by touch; or by keys: Shift with a number is the cue
        at that place, digits are needles, <kbd>?</kbd> shows all keys. <b>Stop</b> ends the hold at once.
      </p>`,
  };
}

function verdict({ over }: TourGuide): Page {
  const done = over === undefined ? undefined : view(over.check).results[0];
  return {
    title: 'What the verdict means',
    text: html`${
        done?.result === undefined
          ? html`<p>The hold was not done, so there is nothing to judge: that is no pass.</p>`
          : html`<tn-verdict-card heading="Your hold: ${done.title}" .result=${done.result}></tn-verdict-card>
              ${onARig(done.result)}`
      }
      <dl>
        <dt>Pass</dt>
        <dd>Inside the limit by more than a dial can be misread.</dd>
        <dt>Marginal</dt>
        <dd>Inside the limit, by less than that.</dd>
        <dt>Fail</dt>
        <dd>Outside the limit. Do not drive; you are asked whether to measure again, stop, or go on without moving.</dd>
        <dt>Not judged</dt>
        <dd>Nothing is claimed, and the reason is told. It is no pass.</dd>
      </dl>
      <p><b>Why?</b> beside a verdict shows its numbers, its limit, and the document that the limit is from.</p>
      <p class="caution">
        <b>Not a licence to drive.</b> A verdict says what was measured against which limit, and no more. Local codes,
        the maker’s manual and licensed technicians come first.
      </p>
      <p>
        A real check is kept on this device under <b>Logs</b>: what was said, how it was heard, and what the verdict
        rests on, to print, share and export. Nothing of this tour is kept.
      </p>`,
  };
}

/** The rate that a shortened hold allows is not to be learnt. */
function onARig({ limits }: StepResult) {
  const rate = limits.find(({ unit, max }) => unit === 'psi/min' && max !== undefined)?.max;
  if (rate === undefined) return nothing;
  return html`<p>
    The limit was made to fit the shortened hold, so do not learn its number. On a rig the hold takes a minute, and by
    these limits the drop in it is at most ${Math.round((rate * TOUR_HOLD_SECONDS) / 60)} psi.
  </p>`;
}

declare global {
  interface HTMLElementTagNameMap {
    'tn-tour-guide': TourGuide;
  }
}
