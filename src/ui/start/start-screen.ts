import { LitElement, html, nothing } from 'lit';
import { customElement, property, query, state } from 'lit/decorators.js';
import { live } from 'lit/directives/live.js';
import type { RigSettings } from '../../judging/result.ts';
import type { EarModels } from '../../running/ear-models.ts';
import type { Library } from '../library/library.ts';
import { baseStyles } from '../shared/base-styles.ts';
import { randomId } from '../shared/random-id.ts';
import type { Settings } from '../../running/settings.ts';
import { toneOf, verdictStyles, verdictText } from '../shared/verdict-look.ts';
import type { Offline } from '../shell/offline.ts';
import type { BoardRig } from './standings.ts';
import type { StartModel } from './start-model.ts';
import { startScreenStyles } from './start-screen-styles.ts';
import { on, sendUp } from '../shared/events.ts';
import { liveRegion } from '../shared/live-region.ts';

/** Choosing rig, plan, limits and operator; the sound check; the demo; resuming; past checks. */
@customElement('tn-start-screen')
export class StartScreen extends LitElement {
  @property({ attribute: false }) model!: StartModel;
  @property({ attribute: false }) settings!: Settings;
  @property({ attribute: false }) library: Library | undefined;
  @property({ attribute: false }) earModels!: EarModels;
  @property({ attribute: false }) offline!: Offline;
  @state() private editing: RigSettings | undefined;
  @query('dialog.settings') private settingsDialog!: HTMLDialogElement;
  @query('dialog.rig') private rigDialog!: HTMLDialogElement;

  static override styles = [baseStyles, verdictStyles, startScreenStyles];

  override render() {
    const { model } = this;
    return html`<header class="strip">
        <h1 tabindex="-1">Two Needles</h1>
        <button class="gear" @click=${() => this.settingsDialog.showModal()}>Settings</button>
      </header>
      <main>
        <p class="lead">
          The second person in the cab for the air brake check: call what you see, it times, computes and keeps the
          record.
        </p>
        <tn-first-run hidden .settings=${this.settings}></tn-first-run>
        ${liveRegion('status', [...model.notices.map((line) => html`<p class="notice">${line}</p>`), ...this.#update()], { look: 'notices' })}
        ${this.#unfinished()}
        <form class="panel" @submit=${this.#start}>
          <h2>New check</h2>
          ${this.#rig()}
          <label class="field"
            >Operator
            <input name="operator" autocomplete="off" list="people" maxlength="60" .value=${this.settings.operator}
          /></label>
          <datalist id="people">${model.people.map((name) => html`<option value=${name}></option>`)}</datalist>
          <div class="two">
            <label class="field"
              >Plan
              <select name="plan" @change=${(event: Event) => sendUp(this, 'settings', { planId: chosen(event) })}>
                ${model.plans.map((plan) => html`<option value=${plan.id} .selected=${live(plan.id === this.settings.planId)}>${plan.title}, ${plan.steps} steps</option>`)}
              </select>
            </label>
            <label class="field"
              >Limits
              <select
                name="profile"
                @change=${(event: Event) => sendUp(this, 'settings', { profileId: chosen(event) })}
              >
                ${model.profiles.map((profile) => html`<option value=${profile.id} .selected=${live(profile.id === this.settings.profileId)}>${profile.title}</option>`)}
              </select>
            </label>
          </div>
          <p class="quiet">
            Local codes, the maker’s manual and licensed technicians come first. This tool measures and records; it does
            not inspect.
          </p>
          <div class="begin">
            <p class="caution"><b>Before you start</b> Level ground. Wheels chocked. Nobody under or around the rig.</p>
            <button class="main go" type="submit" ?disabled=${model.rigs.length === 0}>Start the check</button>
          </div>
          <label class="tick exam"
            ><input type="checkbox" name="examination" />
            <span>As an examination: silent, with the examiner’s sheet</span></label
          >
        </form>
        <div class="aside">
          <div class="panel">
            <tn-sound-check .trial=${model.trial} .settings=${this.settings}></tn-sound-check>
          </div>
          <tn-demo class="panel" .problem=${model.demoProblem}></tn-demo>
          <tn-offline class="panel" .offline=${this.offline}></tn-offline>
          <tn-ears class="panel" .models=${this.earModels} choice=${this.settings.ear}></tn-ears>
          ${
            this.library === undefined
              ? nothing
              : html`<tn-library
                  class="panel"
                  .library=${this.library}
                  planId=${this.settings.planId}
                  profileId=${this.settings.profileId}
                ></tn-library>`
          }
        </div>
        <tn-past-checks .checks=${model.past}></tn-past-checks>
      </main>
      <dialog class="settings" aria-label="Settings">
        <div class="row head">
          <h2>Settings</h2>
          <button @click=${() => this.settingsDialog.close()}>Close</button>
        </div>
        <tn-settings-form .settings=${this.settings}></tn-settings-form>
        <p><a href="#logs/shelf">The district’s shelf: where checks are collected, if anywhere</a></p>
      </dialog>
      <dialog class="rig" aria-label="Rig" @close=${() => (this.editing = undefined)}>
        <h2>Rig</h2>
        ${
          this.editing === undefined
            ? nothing
            : html`<tn-rig-form
                .rig=${this.editing}
                .defaults=${model.defaultsOf(this.editing.id)}
                .plans=${model.plans}
                .profiles=${model.profiles}
                ${on({ closed: () => this.rigDialog.close(), rig: (rig) => this.#keepRig(rig), 'rig-defaults': (of) => sendUp(this, 'rig-defaults', of) })}
              ></tn-rig-form>`
        }
      </dialog>`;
  }

  protected override firstUpdated(): void {
    // Not needed to begin a check. Where it cannot be fetched its place stays empty.
    void import('../library/library-panel.ts').catch(() => undefined);
    void import('./rig-form.ts').catch(() => undefined);
    void import('./sound-check.ts').catch(() => undefined);
    void import('./first-run.ts').catch(() => undefined);
    void import('./demo-panel.ts').catch(() => undefined);
    void import('./past-checks.ts').catch(() => undefined);
    void import('../shared/settings-form.ts').catch(() => undefined);
    void import('./offline-panel.ts').catch(() => undefined);
    void import('../ears/ears-panel.ts').catch(() => undefined);
  }

  #update() {
    if (!this.model.updateWaits) return [];
    return [
      html`<p class="notice">
        A newer version is ready. <button @click=${() => sendUp(this, 'update')}>Use it now</button>
      </p>`,
    ];
  }

  #unfinished() {
    return this.model.unfinished.map(
      (head) =>
        html`<section class="panel resume" aria-label="Unfinished check">
          <h2>Unfinished: ${head.rigName}, ${head.planTitle}</h2>
          <p>
            Started ${new Date(head.startedAt).toLocaleString()}${head.operator === '' ? '' : ` by ${head.operator}`}.
            What was called is kept; a hold that was running is repeated.
          </p>
          <div class="row">
            <button class="main" @click=${() => sendUp(this, 'resume', head.id)}>Go on with it</button>
            <button @click=${() => sendUp(this, 'give-up', head.id)}>Close it as incomplete</button>
          </div>
        </section>`,
    );
  }

  #rig() {
    const { model } = this;
    return html`<fieldset class="rigs">
      <legend>Rig</legend>
      ${this.#board()} ${model.rigs.length === 0 ? html`<p>No rig is kept on this device yet.</p>` : nothing}
      ${model.rigs.map(
        (rig) =>
          html`<div class="rig-row">
            <label class="tick">
              <input
                type="radio"
                name="rig"
                value=${rig.id}
                .checked=${rig.id === this.#rigId()}
                @change=${() => this.#choose(rig.id)}
              />
              <span
                ><b>${rig.name}</b> <span class="quiet">${rigLine(rig)}</span
                ><br />${standingLine(model.standings.get(rig.id), model.now)}</span
              >
            </label>
            <button type="button" class="plain" @click=${() => this.#edit(rig)}>
              Edit<span class="unseen"> ${rig.name}</span>
            </button>
          </div>`,
      )}
      <button type="button" class="plain" @click=${() => this.#edit({ id: randomId(), name: '', unit: 'psi' })}>
        Add a rig
      </button>
    </fieldset>`;
  }

  /** What is due and what is open, of all rigs in a line. */
  #board() {
    const { rigs, standings, now } = this.model;
    const due = rigs.filter(({ id }) => isDue(standings.get(id), now));
    const open = rigs.filter(({ id }) => (standings.get(id)?.open.length ?? 0) > 0);
    if (rigs.length === 0) return nothing;
    return html`<p class="board">
      ${due.length === 0 ? 'No check is due.' : html`<b>Due: ${due.map(({ name }) => name).join(', ')}.</b>`}
      ${open.length === 0 ? nothing : html`<b class="fail">Open defects: ${open.map(({ name }) => name).join(', ')}.</b>`}
    </p>`;
  }

  /** With what the department has set for that rig. */
  #choose(rigId: string): void {
    const { planId, profileId } = this.model.defaultsOf(rigId);
    const of = { ...(planId === undefined ? {} : { planId }), ...(profileId === undefined ? {} : { profileId }) };
    sendUp(this, 'settings', { rigId, ...of });
  }

  #rigId(): string {
    return this.model.rigs.some((rig) => rig.id === this.settings.rigId)
      ? this.settings.rigId
      : (this.model.rigs[0]?.id ?? '');
  }

  #edit(rig: RigSettings): void {
    this.editing = rig;
    void this.updateComplete.then(() => this.rigDialog.showModal());
  }

  #keepRig(rig: RigSettings): void {
    this.rigDialog.close();
    sendUp(this, 'rig', rig);
  }

  #start(event: SubmitEvent): void {
    event.preventDefault();
    const data = new FormData(event.target as HTMLFormElement);
    const text = (name: string): string => {
      const value = data.get(name);
      return typeof value === 'string' ? value : '';
    };
    const rig = this.model.rigs.find((candidate) => candidate.id === text('rig')) ?? this.model.rigs[0];
    if (rig === undefined) return;
    sendUp(this, 'start', {
      rig,
      operator: text('operator').trim(),
      planId: text('plan'),
      profileId: text('profile'),
      ...(data.has('examination') ? { examination: true } : {}),
    });
  }
}

function chosen(event: Event): string {
  return (event.target as HTMLSelectElement).value;
}

/** A rig that was never checked here is due. */
function isDue(standing: BoardRig | undefined, now: number): boolean {
  return standing?.due === undefined || standing.due <= now;
}

/** What is due and what is open. */
function standingLine(standing: BoardRig | undefined, now: number) {
  const { today, last, due, open = [] } = standing ?? {};
  const next = isDue(standing, now) ? html`<b>Due now</b>` : html`Next due ${dayText(due ?? now)}`;
  const done =
    today !== undefined
      ? html`Today: <b class=${toneOf(today)}>${verdictText(today)}</b>`
      : last === undefined
        ? 'No whole check on this device'
        : html`Last ${dayText(Date.parse(last.date))}: ${verdictText(last.verdict)}`;
  return html`${next}. ${done}${open.length === 0 ? nothing : html`. <b class="fail">Open: ${open.join(', ')}</b>`}`;
}

function dayText(at: number): string {
  return new Date(at).toLocaleString([], {
    weekday: 'short',
    month: 'short',
    day: 'numeric',
    hour: '2-digit',
    minute: '2-digit',
  });
}

function rigLine(rig: RigSettings): string {
  const fitted = [
    rig.fitted?.handValve === true ? 'hand valve' : '',
    rig.fitted?.fastIdle === true ? 'fast idle' : '',
    rig.fitted?.trailer === true ? 'trailer' : '',
  ];
  return [rig.unit, ...fitted.filter((part) => part !== '')].join(', ');
}

declare global {
  interface HTMLElementTagNameMap {
    'tn-start-screen': StartScreen;
  }
}
