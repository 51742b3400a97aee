import { LitElement, html, nothing } from 'lit';
import type { PropertyValues } from 'lit';
import { customElement, property, state } from 'lit/decorators.js';
import { besideEarlier } from '../../audit/earlier.ts';
import type { Row } from '../../audit/row.ts';
import { trendsOf, type RigTrend } from '../../audit/trends.ts';
import type { LimitProfile } from '../../judging/profile.ts';
import type { ChainedStore } from '../../record/chained-store.ts';
import { clipsOf, exportCheck, fileName } from '../../record/export.ts';
import type { Packing } from '../../record/packing.ts';
import { judgeLog, type Judged } from '../../record/judged.ts';
import { keyQuery, sealerOf, standingOf, type Standing } from '../../record/known-keys.ts';
import { UNCHAINED_VERSION, type LogFile } from '../../record/log.ts';
import { photosOfLog, shownPhotos, type LogPhoto } from '../../record/photos-of-log.ts';
import { reportHtml } from '../../record/report.ts';
import { signedAs, signedWords } from '../../record/signed-as.ts';
import { verifyLog, type Verification } from '../../record/verify.ts';
import type { Verdict } from '../../judging/result.ts';
import { problemLine, type Outcome } from '../../units/outcome.ts';
import type { Language } from '../../running/language.ts';
import type { SmallStore } from '../../running/settings.ts';
import type { NamedHearing } from '../../running/microphone-ear.ts';
import { saveFile } from '../library/save-file.ts';
import { baseStyles } from '../shared/base-styles.ts';
import '../shared/trend-chart.ts';
import '../shared/verdict-card.ts';
import { plainNumber } from '../../answering/written.ts';
import { VERDICT_MARK, toneOf, verdictStyles } from '../shared/verdict-look.ts';
import { clockText, figureName } from '../shared/words.ts';
import './judge-again-panel.ts';
import { logDetailStyles } from './log-detail-styles.ts';
import './officer-panel.ts';
import { readingsChart } from './readings-chart.ts';
import { sealWords } from './seal-words.ts';
import './second-hearing-panel.ts';
import type { SecondHearingPanel } from './second-hearing-panel.ts';
import { soundMarks, transcriptLines } from './transcript-lines.ts';
import './transcript-table.ts';
import { on } from '../shared/events.ts';
import { liveRegion } from '../shared/live-region.ts';
import { openPage } from '../shared/open-page.ts';
import { tableStyles } from './table-styles.ts';

interface Loaded {
  readonly log: LogFile;
  readonly judged: Outcome<Judged>;
  readonly verification: Verification;
  readonly sealer: Standing;
  /** How this device exports; absent where it has no key. */
  readonly packing: Packing | undefined;
  /** Ids of clips that can be played. */
  readonly clips: ReadonlySet<string>;
  readonly photos: readonly LogPhoto[];
}

/** One check for the officer: what was called and heard, what the verdict rests on, whether the log verifies, where it leads. */
@customElement('tn-log-detail')
export class LogDetail extends LitElement {
  @property({ attribute: false }) store!: ChainedStore;
  @property({ attribute: false }) rows: readonly Row[] = [];
  @property({ attribute: false }) profiles: readonly LimitProfile[] = [];
  @property({ attribute: false }) language!: Language;
  /** The ears of this device, for a second hearing. */
  @property({ attribute: false }) ears!: () => Promise<readonly NamedHearing[]>;
  /** Where the people of this device are kept. */
  @property({ attribute: false }) small!: SmallStore;
  /** ISO 8601. */
  @property({ attribute: false }) wall!: () => string;
  @property() check = '';
  /** Where the list is. */
  @property() back = '#logs';
  @state() private loaded: Loaded | 'reading' | 'missing' = 'reading';
  #trends: readonly RigTrend[] = [];
  #trendsOf: readonly unknown[] = [];

  static override styles = [baseStyles, verdictStyles, tableStyles, logDetailStyles];

  protected override willUpdate(changed: PropertyValues<this>): void {
    if (changed.has('check') || changed.has('store')) void this.#read(true);
    this.#follow();
  }

  /** Trends are worked out anew only when their checks change. */
  #follow(): void {
    const { rows, loaded } = this;
    if (typeof loaded === 'string' || !loaded.judged.ok) return;
    if (this.#trendsOf[0] === rows && this.#trendsOf[1] === loaded) return;
    this.#trendsOf = [rows, loaded];
    this.#trends = trendsOf(rows, loaded.judged.value.state.start.rig.id);
  }

  override render() {
    const { loaded } = this;
    const back = html`<a href=${this.back}>Back to the list</a>`;
    if (loaded === 'reading')
      return html`<main>
        ${back}
        <h1 tabindex="-1">Check</h1>
        <p>Reading the log.</p>
      </main>`;
    if (loaded === 'missing') {
      return html`<main>
        ${back}
        <h1 tabindex="-1">Check</h1>
        ${liveRegion('alert', 'This device keeps no check of that address.')}
      </main>`;
    }
    const { judged } = loaded;
    return html`<main>
      ${back} ${this.#sealer(loaded)} ${this.#head(loaded)} ${this.#verified(loaded)}
      ${
        judged.ok
          ? this.#body(loaded, judged.value)
          : html`${liveRegion('alert', problemLine(judged.problem))} ${this.#words(loaded.log)}`
      }
    </main>`;
  }

  #head(loaded: Loaded) {
    const { log, judged } = loaded;
    const start = log.entries[0]?.event;
    const verdict = judged.ok ? (judged.value.view.verdict ?? 'incomplete') : 'incomplete';
    const named = start?.type === 'start';
    const failed = judged.ok ? judged.value.view.results.filter((step) => step.verdict === 'fail') : [];
    return html`<div class="outcome ${toneOf(verdict)}">
        <h1 tabindex="-1">
          <span aria-hidden="true">${VERDICT_MARK[verdict]}</span> ${named ? start.rig.name : 'Check'}: ${verdict}
        </h1>
        ${named ? html`<p>${start.plan.title}, ${new Date(start.wall).toLocaleString()}, ${start.operator === '' ? 'no name given' : start.operator}. Limits: ${start.profile.title}.</p>` : nothing}
        ${verdict === 'fail' ? html`<p><b>Outside its limit or out of service: ${failed.map(({ title }) => title).join(', ')}. Do not drive on a failed check.</b></p>` : nothing}
      </div>
      <div class="row">
        <button @click=${() => void this.#export(log)}>Export as zip</button>
        ${judged.ok ? html`<button @click=${() => void this.#report(loaded, judged.value)}>Open the report to print</button>` : nothing}
        ${judged.ok ? html`<button @click=${() => void this.#sheet(loaded)}>Open the examiner’s sheet</button>` : nothing}
      </div>`;
  }

  /** Of a log whose maker is not known that is said first. */
  #sealer({ sealer, log, verification }: Loaded) {
    if (sealer.kind === 'own' || sealer.kind === 'known' || sealer.kind === 'unlisted') return nothing;
    if (sealer.kind === 'throwaway')
      return html`<div class="warning">
        <p><b>Only a checksum.</b> The key that sealed this log was thrown away: nothing says who made it.</p>
      </div>`;
    const offer = keyQuery({ name: `Device ${verification.device}`, key: log.header.device });
    const line = html`<p>
      <b>Unknown key.</b> This log was sealed with a key that this device does not know (${verification.device}): who
      made it is not known. <a href="#logs/keys?${offer}">Compare the key</a>
    </p>`;
    return liveRegion('alert', line, { look: 'warning' });
  }

  #verified({ verification: { faults, device, countersigned, clips, seal }, sealer, log, packing }: Loaded) {
    if (faults.length > 0) {
      const lines = html`<p>
          <b>This log is not as it was sealed.</b> It can be read, but do not rest a decision on it alone.
        </p>
        <ul>
          ${faults.map(({ what }) => html`<li>${what}</li>`)}
        </ul>`;
      return liveRegion('alert', lines, { look: 'warning' });
    }
    const { sound, photos, gone } = clips;
    const what = photos === 0 ? 'Clips' : 'Clips and photos';
    const sounds = sound + photos + gone === 0 ? '' : ` ${what}: ${sound + photos} match, ${gone} deleted.`;
    const whose = sealer.kind === 'own' ? ' of this device' : sealer.kind === 'known' ? ` of ${sealer.name}` : '';
    const officers = countersigned.map((signed) => {
      const { officer, key, by } = signed;
      const standing = standingOf(by, packing?.known, packing?.signer.publicKey);
      const on =
        standing.kind === 'own' ? 'this device' : standing.kind === 'known' ? standing.name : 'an unknown device';
      const how = signedWords(signed, signedAs(signed, packing?.known, packing?.signer.publicKey));
      return `Countersigned by ${officer} ${how}, on ${on} (${key}). `;
    });
    const number =
      seal === undefined || sealer.kind === 'throwaway' ? '' : ` It is number ${seal.number} of its device.`;
    return html`<div class="sound">
      <p>
        <b>This log is as it was sealed:</b> every entry is as it was, with the key ${device}${whose}.${number}
        ${officers}${sounds}
        ${log.header.version === UNCHAINED_VERSION ? 'It was written in version 1 of the format, which does not number the checks of a device.' : ''}
      </p>
      ${sealWords()}
    </div>`;
  }

  #body(loaded: Loaded, judged: Judged) {
    const { state, view } = judged;
    const failed = view.results.filter(({ verdict }) => verdict === 'fail');
    const trends = this.#trends;
    return html`<section class="panel" aria-label="Readings">
        <h2>Readings over time</h2>
        ${readingsChart(state)}
      </section>
      <div class="columns">
        <section class="panel" aria-label="Verdicts">
          <h2>What was measured, against which limit</h2>
          ${byImportance(view.results).map(({ title, result }) => html`<tn-verdict-card heading=${title} .result=${result} applicability=${state.start.profile.applicability}></tn-verdict-card>`)}
        </section>
        <div class="stack">
          <section class="panel" aria-label="Officer">
            <h2>Officer</h2>
            <tn-officer-panel
              .store=${this.store}
              .log=${loaded.log}
              .failed=${failed.map(({ id, title }) => ({ id, title }))}
              .small=${this.small}
              .wall=${this.wall}
              ${on({ signed: () => void this.#read(false) })}
            ></tn-officer-panel>
          </section>
          <section class="panel" aria-label="Earlier checks">
            <h2>Beside the rig’s earlier checks</h2>
            ${this.#beside()}
          </section>
          <section class="panel" aria-label="Other limits">
            <h2>Judge again under other limits</h2>
            <tn-judge-again .judged=${judged} .profiles=${this.profiles}></tn-judge-again>
          </section>
        </div>
      </div>
      ${this.#photos(loaded, judged)}
      <section class="panel" aria-label="Transcript">
        <h2>Transcript</h2>
        <tn-transcript
          .store=${this.store}
          .lines=${transcriptLines(loaded.log, state)}
          .marks=${soundMarks(loaded.log)}
          .clips=${loaded.clips}
          ${on({ 'hear-again': (entry) => void this.#again(entry) })}
        ></tn-transcript>
      </section>
      <section class="panel" aria-label="Second hearing">
        <h2>Second hearing</h2>
        <tn-second-hearing
          .store=${this.store}
          .log=${loaded.log}
          .judged=${judged}
          .language=${this.language}
          .ears=${this.ears}
          sounds=${loaded.clips.size}
        ></tn-second-hearing>
      </section>
      ${
        trends.length === 0
          ? nothing
          : html`<section class="panel" aria-label="Trends">
              <h2>Trends of ${state.start.rig.name}</h2>
              <div class="trends">${trends.map((each) => html`<tn-trend-chart .trend=${each}></tn-trend-chart>`)}</div>
            </section>`
      }`;
  }

  #photos({ photos }: Loaded, { state: { start } }: Judged) {
    if (photos.length === 0) return nothing;
    void import('./photo-list.ts');
    const titles = new Map(start.plan.steps.flatMap(({ items = [] }) => items.map(({ id, title }) => [id, title])));
    return html`<section class="panel" aria-label="Photos">
      <h2>Photos</h2>
      <tn-photo-list .store=${this.store} .photos=${photos} .titles=${titles}></tn-photo-list>
    </section>`;
  }

  #beside() {
    const lines = besideEarlier(this.rows, this.check).filter(({ checks }) => checks > 0);
    if (lines.length === 0) return html`<p class="quiet">There is no earlier check of this rig here.</p>`;
    return html`<div class="scroll" tabindex="0" role="region" aria-label="Figures beside earlier checks">
      <table>
        <thead>
          <tr>
            <th scope="col">Figure</th>
            <th scope="col">Here</th>
            <th scope="col">Before</th>
            <th scope="col">Usual</th>
          </tr>
        </thead>
        <tbody>
          ${lines.map(
            ({ title, figure, unit, now, before, usual, checks }) =>
              html`<tr>
                <td>${title}, ${figureName(figure)} <span class="quiet">${unit}</span></td>
                <td class="number"><b>${plainNumber(now)}</b></td>
                <td class="number">${before === undefined ? '' : plainNumber(before)}</td>
                <td class="number">
                  ${usual === undefined ? '' : plainNumber(usual)} <span class="quiet">of ${checks}</span>
                </td>
              </tr>`,
          )}
        </tbody>
      </table>
    </div>`;
  }

  async #again(entry: number): Promise<void> {
    const panel = this.renderRoot.querySelector<SecondHearingPanel>('tn-second-hearing');
    panel?.scrollIntoView({ block: 'nearest' });
    await panel?.hearEntry(entry);
  }

  /** What was heard, of a log that cannot be judged. */
  #words(log: LogFile) {
    const heard = log.entries.flatMap(({ event }) => (event.type === 'callout' ? [event] : []));
    return html`<section class="panel" aria-label="Transcript">
      <h2>Transcript</h2>
      ${heard.map(({ at, heard: words }) => html`<p>${clockText(at)} ${words}</p>`)}
    </section>`;
  }

  async #read(first: boolean): Promise<void> {
    const { check, store } = this;
    if (first) this.loaded = 'reading';
    const log = await store.log(check);
    if (check !== this.check) return;
    if (log === undefined) {
      this.loaded = 'missing';
      return;
    }
    const sounds = await clipsOf(store, log);
    const verification = await verifyLog(log, sounds);
    if (check !== this.check) return;
    const clips = new Set(
      [...sounds.keys()].flatMap((place) => {
        const event = log.entries[place]?.event;
        return event?.type === 'callout' ? (event.clip ?? []) : [];
      }),
    );
    const packing = await store.packing().catch(() => undefined);
    const sealer = sealerOf(log.header, packing?.known, packing?.signer.publicKey);
    const photos = photosOfLog(log, sounds, verification);
    this.loaded = { log, judged: judgeLog(log, check), verification, sealer, packing, clips, photos };
    if (!first) return;
    await this.updateComplete;
    this.renderRoot.querySelector<HTMLElement>('h1')?.focus();
  }

  async #export(log: LogFile): Promise<void> {
    saveFile(
      `${fileName(log)}.zip`,
      await exportCheck(log, await this.store.packing(), await clipsOf(this.store, log)),
    );
  }

  async #report({ log, verification, sealer, packing, photos }: Loaded, judged: Judged): Promise<void> {
    const shown = photos.length === 0 ? [] : await shownPhotos(photos, await clipsOf(this.store, log));
    openPage(reportHtml(log, judged, verification, sealer, { known: packing?.known, photos: shown }));
  }

  async #sheet({ log }: Loaded): Promise<void> {
    const { sheetOfKept } = await import('../../examining/sheet-of-log.ts');
    const sheet = await sheetOfKept(this.store, log.header.check);
    if (sheet.ok) openPage(sheet.value);
  }
}

/** What failed first, then what was close to its limit; the rest as it was done. */
function byImportance<T extends { readonly verdict: Verdict }>(results: readonly T[]): readonly T[] {
  const rank = ({ verdict }: T): number => (verdict === 'fail' ? 0 : verdict === 'marginal' ? 1 : 2);
  return results.toSorted((a, b) => rank(a) - rank(b));
}

declare global {
  interface HTMLElementTagNameMap {
    'tn-log-detail': LogDetail;
  }
}
