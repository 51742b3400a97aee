import { LitElement, html, nothing } from 'lit';
import { customElement, property, state } from 'lit/decorators.js';
import type { Likeness, Said } from '../../audit/compare-hearing.ts';
import { view } from '../../check/view.ts';
import { readWav } from '../../hearing/wav.ts';
import type { ChainedStore } from '../../record/chained-store.ts';
import type { Judged } from '../../record/judged.ts';
import type { LogFile } from '../../record/log.ts';
import type { Work } from '../../record/pace.ts';
import { problemLine, type Outcome } from '../../units/outcome.ts';
import type { Language } from '../../running/language.ts';
import { readingText } from '../../running/said.ts';
import type { NamedHearing } from '../../running/microphone-ear.ts';
import { baseStyles } from '../shared/base-styles.ts';
import { pickStyles } from '../shared/pick-styles.ts';
import { verdictText } from '../shared/verdict-look.ts';
import { clockText } from '../shared/words.ts';
import { hearLogAgain, hearRecordingAgain, type HeardAgain } from '../../running/hear-again.ts';
import { secondHearingStyles } from './second-hearing-styles.ts';
import { liveRegion } from '../shared/live-region.ts';
import { tableStyles } from './table-styles.ts';

const LIKENESS: Readonly<Record<Likeness, { readonly mark: string; readonly words: string }>> = {
  same: { mark: '=', words: 'the same' },
  differs: { mark: '≠', words: 'differs' },
  unheard: { mark: '∅', words: 'not heard now' },
  added: { mark: '+', words: 'only heard now' },
};
/** An hour of 48 kHz stereo in 32 bit is below it. */
const MOST_BYTES = 1.5e9;

interface Result {
  readonly what: string;
  readonly ear: string;
  readonly lines: readonly HeardAgain[];
  /** Steps whose verdict would be another one; only of a whole recording. */
  readonly verdicts?: readonly { readonly title: string; readonly then: string; readonly now: string }[];
}

/** The kept sounds of a check, or an outside recording of it, through another ear. What is in the log stays as it is. */
@customElement('tn-second-hearing')
export class SecondHearingPanel extends LitElement {
  @property({ attribute: false }) store!: ChainedStore;
  @property({ attribute: false }) log!: LogFile;
  @property({ attribute: false }) judged!: Judged;
  @property({ attribute: false }) language!: Language;
  /** The ears of this device; asked for when the panel is first shown. */
  @property({ attribute: false }) ears!: () => Promise<readonly NamedHearing[]>;
  /** Sounds of the log that are still kept. */
  @property({ type: Number }) sounds = 0;
  @state() private found: readonly NamedHearing[] = [];
  @state() private chosen = 0;
  @state() private progress: number | undefined;
  @state() private result: Result | undefined;
  @state() private refused = '';
  #stop: AbortController | undefined;

  static override styles = [baseStyles, pickStyles, tableStyles, secondHearingStyles];

  protected override firstUpdated(): void {
    void this.ears().then((ears) => (this.found = ears));
  }

  /** Hears the sound of one entry of the log. */
  hearEntry(entry: number): Promise<void> {
    return this.#clips('One callout', entry);
  }

  override render() {
    const none = this.found.length > 0 && !this.found.some(({ id }) => id === 'vosk');
    return html`<p class="quiet">
        Hears what was said once more. It only shows where another hearing differs: the log and its verdicts stay as
        they are.
      </p>
      <label class="field"
        >Ear
        <select
          ?disabled=${this.progress !== undefined}
          @change=${(event: Event) => (this.chosen = (event.target as HTMLSelectElement).selectedIndex)}
        >
          ${this.found.map(({ name }, at) => html`<option ?selected=${at === this.chosen}>${name}</option>`)}
        </select>
      </label>
      ${none ? html`<p class="quiet">There is no model of the Vosk ear on this device; one can be added on the Check screen.</p>` : nothing}
      ${this.progress === undefined ? this.#doors() : this.#working(this.progress)}
      ${liveRegion('status', this.#said(), { look: 'said' })} ${liveRegion('alert', this.refused, { look: 'refused' })}
      ${this.result === undefined ? nothing : this.#table(this.result)}`;
  }

  #doors() {
    return html`<div class="row">
      <button
        ?disabled=${this.sounds === 0 || this.found.length === 0}
        @click=${() => void this.#clips('All callouts')}
      >
        Hear all ${this.sounds} sounds again
      </button>
      <label class="pick"
        >Hear an outside recording<input
          type="file"
          accept=".wav,audio/wav,audio/x-wav"
          ?disabled=${this.found.length === 0}
          @change=${this.#picked}
      /></label>
      <span class="quiet"
        >${this.sounds === 0 ? 'This log has no sound here. ' : ''}A WAV file of the whole check.</span
      >
    </div>`;
  }

  #working(progress: number) {
    return html`<div>
      <progress aria-label="Second hearing" max="1" .value=${progress}></progress>
      <button @click=${() => this.#stop?.abort()}>Cancel the second hearing</button>
    </div>`;
  }

  #said(): string {
    if (this.result === undefined) return '';
    const { what, ear, lines } = this.result;
    const counted = (Object.keys(LIKENESS) as Likeness[]).flatMap((likeness) => {
      const count = lines.filter((line) => line.likeness === likeness).length;
      return count === 0 ? [] : [`${count} ${LIKENESS[likeness].words}`];
    });
    return `${what} by ${ear}: ${counted.length === 0 ? 'nothing to hear' : counted.join(', ')}. The log is unchanged.`;
  }

  #table({ lines, verdicts }: Result) {
    return html`${verdicts === undefined ? nothing : verdictLines(verdicts)}
      <div class="scroll" tabindex="0" role="region" aria-label="Second hearing, callout by callout">
        <table>
          <thead>
            <tr>
              <th scope="col">Time</th>
              <th scope="col">Taken then</th>
              <th scope="col">Heard now</th>
            </tr>
          </thead>
          <tbody>
            ${lines.map(
              ({ at, then, now, likeness, problem }) =>
                html`<tr class=${likeness}>
                  <td class="number">${at === undefined ? '' : clockText(at)}</td>
                  <td>${then === undefined ? '' : saidCell(then)}</td>
                  <td>
                    <b><span aria-hidden="true">${LIKENESS[likeness].mark}</span> ${LIKENESS[likeness].words}</b>
                    ${problem ?? (now === undefined || now.heard === '' ? nothing : html`<br />${saidCell(now)}`)}
                  </td>
                </tr>`,
            )}
          </tbody>
        </table>
      </div>`;
  }

  #clips(what: string, entry?: number): Promise<void> {
    return this.#hear(what, async (ear, work) => {
      const { log, store, language } = this;
      const lines = await hearLogAgain(log, entry, store, language, (events) => ear.hearing(events), work);
      return lines.ok ? { ok: true, value: { what, ear: ear.name, lines: lines.value } } : lines;
    });
  }

  #picked(event: Event): void {
    const input = event.target as HTMLInputElement;
    const file = input.files?.[0];
    input.value = '';
    if (file !== undefined) void this.#recording(file);
  }

  #recording(file: File): Promise<void> {
    return this.#hear(file.name, async (ear, work) => {
      if (file.size > MOST_BYTES)
        return { ok: false, problem: { what: 'The recording is too large.', where: file.name } };
      const recording = readWav(new Uint8Array(await file.arrayBuffer()), file.name);
      if (!recording.ok) return recording;
      const { log, judged, language } = this;
      const begin = (events: Parameters<NamedHearing['hearing']>[0]) => ear.hearing(events);
      const heard = await hearRecordingAgain(log, judged.state, recording.value, language, begin, work);
      if (!heard.ok) return heard;
      const again = view(heard.value.state).results;
      const verdicts = judged.view.results.flatMap(({ id, title, verdict }) => {
        const now = again.find((each) => each.id === id)?.verdict ?? 'not judged';
        return now === verdict ? [] : [{ title, then: verdict, now }];
      });
      return { ok: true, value: { what: file.name, ear: ear.name, lines: heard.value.lines, verdicts } };
    });
  }

  async #hear(what: string, does: (ear: NamedHearing, work: Work) => Promise<Outcome<Result>>): Promise<void> {
    const ear = this.found[this.chosen];
    if (ear === undefined || this.progress !== undefined) return;
    const stop = (this.#stop = new AbortController());
    this.progress = 0;
    this.refused = '';
    this.result = undefined;
    try {
      const result = await does(ear, { signal: stop.signal, onProgress: (progress) => (this.progress = progress) });
      if (result.ok) this.result = result.value;
      else this.refused = `${ear.name}: ${problemLine(result.problem)}`;
    } catch {
      this.refused = stop.signal.aborted ? `${what}: cancelled.` : `${what}: the file or the sound cannot be read.`;
    } finally {
      this.progress = undefined;
    }
  }

  override disconnectedCallback(): void {
    super.disconnectedCallback();
    this.#stop?.abort();
  }
}

function saidCell({ heard, meaning, confidence }: Said) {
  const reading = meaning?.reading === undefined ? '' : readingText(meaning.reading);
  return html`${heard === '' ? '(speech)' : heard}
    <span class="quiet">${reading === '' ? '' : `${reading}, `}${Math.round(confidence * 100)} %</span>`;
}

function verdictLines(verdicts: NonNullable<Result['verdicts']>) {
  if (verdicts.length === 0) return html`<p>Every step would have the same verdict.</p>`;
  return html`<ul aria-label="Verdicts that would differ">
    ${verdicts.map(
      ({ title, then, now }) =>
        html`<li><b>${title}</b>: ${verdictText(then)} in the log, ${verdictText(now)} by this hearing.</li>`,
    )}
  </ul>`;
}

declare global {
  interface HTMLElementTagNameMap {
    'tn-second-hearing': SecondHearingPanel;
  }
}
