import { LitElement, html } from 'lit';
import type { PropertyValues } from 'lit';
import { customElement, property, state } from 'lit/decorators.js';
import { placesOf } from '../../check/places.ts';
import type { StartEvent } from '../../check/event.ts';
import type { RigSettings } from '../../judging/result.ts';
import { CheckController } from '../controllers/check-controller.ts';
import { PlaceController } from '../controllers/place-controller.ts';
import { RigsController } from '../controllers/rigs-controller.ts';
import { ScreensController, type LaterScreen } from '../controllers/screens-controller.ts';
import { SettingsController } from '../controllers/settings-controller.ts';
import { SoundTrialController } from '../controllers/sound-trial-controller.ts';
import { Library } from '../library/library.ts';
import { baseStyles } from '../shared/base-styles.ts';
import { on } from '../shared/events.ts';
import { liveRegion } from '../shared/live-region.ts';
import type { StartChoice, StartModel } from '../start/start-model.ts';
import '../start/start-screen.ts';
import type { AppParts } from './app-parts.ts';
import './places-bar.ts';
import { DEMO_RIGS } from '../start/rigs.ts';
import { Standings } from '../start/standings.ts';
import { openItemDefects } from '../../audit/open-defects.ts';
import { offeredNames, PEOPLE } from '../../running/people.ts';
import { keepRigDefaults, rigDefaults, type RigDefaults } from '../../running/rig-defaults.ts';
import { startEventOf } from './start-event.ts';

/** The app: start, check and end screens over one set of parts, which it waits for. */
@customElement('two-needles')
export class TwoNeedles extends LitElement {
  @property({ attribute: false }) parts: AppParts | undefined;
  /** Sentences for the start screen and the Check screen. */
  @property({ attribute: false }) notices: readonly string[] = [];
  /** What was last to be said and has no sound on this device. */
  @property() unsaid = '';
  /** Set when a newer build waits; called when the user wants it. Never offered during a check. */
  @property({ attribute: false }) useUpdate: (() => Promise<void>) | undefined;
  /** A rehearsal runs: like a check it lies over all screens. */
  @state() private rehearsing = false;
  /** Why the demo cannot be heard. */
  @state() private demoProblem = '';
  /** What was chosen, while the driver reviews the last report. */
  @state() private reviewed: StartChoice | undefined;
  #library: Library | undefined;
  readonly #settings = new SettingsController(this);
  readonly #rigs = new RigsController(this);
  readonly #screens = new ScreensController(this);
  readonly #standings = new Standings();
  readonly #trial = new SoundTrialController(this);
  readonly #check = new CheckController(this, {
    settings: () => this.#settings.now,
    listen: (pushToTalk) => this.#settings.change({ pushToTalk }),
    notices: () => this.notices,
  });
  readonly #place = new PlaceController(this, {
    stays: () => this.rehearsing,
    moved: (before) => {
      if (this.parts === undefined || this.#check.live !== undefined) return;
      void this.#check.load(this.parts);
      if (before.name === 'check') void this.#trial.end();
      void this.#focusHeading();
    },
  });

  static override styles = [baseStyles];

  protected override willUpdate(changed: PropertyValues<this>): void {
    if (changed.has('parts') && this.parts !== undefined) this.#begun(this.parts);
    if (changed.has('notices')) this.#check.live?.noticed();
  }

  #begun(parts: AppParts): void {
    this.#settings.read(parts);
    this.#rigs.read(parts.small);
    this.#library = new Library(parts.small, parts.plans, parts.profiles, parts.language.cues);
    void this.#check.load(parts);
    void this.updateComplete.then(() => Promise.all([this.#check.running(), this.#screens.come('end')]));
  }

  override render() {
    const { parts } = this;
    const { live, watched } = this.#check;
    if (parts === undefined) return html`<p>${this.notices.join(' ')}</p>`;
    if (live?.model === undefined && this.reviewed !== undefined) return this.#review(parts, this.reviewed);
    if (live?.model === undefined)
      return html`<tn-places here=${this.#place.here.name} ?hidden=${this.rehearsing}></tn-places
        >${this.#screen(parts)}`;
    const leave = (to: string) => void this.#leave(parts).then(() => (location.hash = to));
    if (live.start.settings?.examination === true) {
      if (this.#screens.state('exam') !== 'here') return this.#awaited('exam');
      return html`<tn-exam
        .model=${live.model}
        .live=${live.live}
        .start=${live.start}
        .store=${parts.store}
        check=${this.#check.id}
        ${on({ leave, act: ({ action, source }) => this.#check.act(action, source) })}
      ></tn-exam>`;
    }
    if (live.model.finished !== undefined) {
      if (this.#screens.state('end') !== 'here') return this.#awaited('end');
      return html`<tn-end-screen
        .model=${live.model}
        check=${this.#check.id}
        rigName=${live.start.rig.name}
        profileTitle=${live.start.profile.title}
        applicability=${live.start.profile.applicability}
        ?demo=${watched}
        .notices=${live.live.notices}
        ${on({
          leave,
          again: () => void this.#again(parts, live.start),
        })}
      ></tn-end-screen>`;
    }
    return html`<tn-check-screen
      .model=${live.model}
      applicability=${live.start.profile.applicability}
      .live=${live.live}
      .settings=${this.#settings.now}
      unsaid=${this.unsaid}
      ?watched=${watched}
      ${on({
        settings: (change) => {
          this.#settings.change(change);
          // Keys and pad are as they were just set, though nothing is heard.
          live.noticed();
        },
        act: ({ action, source }) =>
          action.do === 'leave' ? void this.#leave(parts) : this.#check.act(action, source),
      })}
    ></tn-check-screen>`;
  }

  #review(parts: AppParts, choice: StartChoice) {
    if (this.#screens.state('review') !== 'here') return this.#awaited('review');
    return html`<tn-review-screen
      .open=${openItemDefects(this.#check.heads, choice.rig.id)}
      .sources=${this.#startEvent(parts, choice)?.profile.reportReview ?? []}
      rigName=${choice.rig.name}
      driver=${choice.operator}
      .wall=${parts.wall}
      .picture=${async (id: string) => (await parts.store.clip(id))?.wav}
      ${on({
        leave: () => (this.reviewed = undefined),
        reviewed: (review) => void this.#begin(parts, { ...choice, review }),
      })}
    ></tn-review-screen>`;
  }

  /** What the address names; a check that runs is above all of it. */
  #screen(parts: AppParts) {
    const { name, id, query } = this.#place.here;
    if (name !== 'check' && this.#screens.state(name) !== 'here') return this.#awaited(name);
    switch (name) {
      case 'logs':
        return html`<tn-logs-screen
          .store=${parts.store}
          .profiles=${this.#library?.profiles.all ?? []}
          .language=${parts.language}
          .plan=${parts.plans[0]}
          .ears=${parts.ears}
          .clock=${parts}
          .small=${parts.small}
          .shelf=${parts.shelf}
          check=${id}
          query=${query}
        ></tn-logs-screen>`;
      case 'rehearse':
        return html`<tn-rehearse-screen
          .parts=${parts}
          .plans=${(this.#library?.plans.all ?? []).filter((plan) => placesOf(plan).length === 0)}
          .walks=${(this.#library?.plans.all ?? []).filter((plan) => placesOf(plan).length > 0)}
          .profiles=${this.#library?.profiles.all ?? []}
          .settings=${this.#settings.now}
          page=${id}
          ${on({ busy: (busy) => this.#rehearse(busy) })}
        ></tn-rehearse-screen>`;
      case 'rigs':
        return html`<tn-rigs-screen
          .store=${parts.store}
          .steady=${parts.steady}
          .rigs=${this.#rigs.all}
          .small=${parts.small}
          .wall=${parts.wall}
          page=${id}
          .plans=${this.#library?.plans.all ?? []}
          .profiles=${this.#library?.profiles.all ?? []}
          ${on({ rig: (rig) => this.#keepRig(rig), 'rig-defaults': ({ rig, defaults }) => this.#keepDefaults(parts, rig, defaults), 'rig-removed': (id) => this.#rigs.remove(id) })}
        ></tn-rigs-screen>`;
      case 'check':
        return this.#start(parts);
    }
  }

  #awaited(name: LaterScreen) {
    const missed = this.#screens.state(name) === 'missed';
    const again = html`<p>This screen could not be fetched. What is on the device is not touched.</p>
      <button @click=${() => void this.#screens.come(name)}>Try again</button>`;
    return html`<main>
      ${liveRegion('alert', missed ? again : '')} ${missed ? '' : html`<p>Fetching the screen.</p>`}
    </main>`;
  }

  #start(parts: AppParts) {
    const { heads, notices } = this.#check;
    const model: StartModel = {
      rigs: this.#rigs.all,
      plans: (this.#library?.plans.all ?? []).map(({ id, title, steps }) => ({ id, title, steps: steps.length })),
      profiles: (this.#library?.profiles.all ?? []).map(({ id, title }) => ({ id, title })),
      unfinished: heads.filter((head) => head.state === 'running'),
      standings: this.#standings.of(
        heads,
        parts.wall(),
        parts.small,
        new Map(this.#library?.plans.all.map(({ id, title }) => [id, title])),
      ),
      now: Date.parse(parts.wall()),
      people: offeredNames(parts.small.get(PEOPLE)),
      defaultsOf: (rig) => rigDefaults(parts.small, rig),
      past: heads.filter((head) => head.state !== 'running').slice(0, 30),
      trial: this.#trial.model,
      demoProblem: this.demoProblem,
      notices,
      updateWaits: this.useUpdate !== undefined,
    };
    return html`<tn-start-screen
      .model=${model}
      .library=${this.#library}
      .earModels=${parts.earModels}
      .offline=${parts.offline}
      .settings=${this.#settings.now}
      ${on({
        settings: (change) => this.#settings.change(change),
        rig: (rig) => this.#keepRig(rig),
        'rig-defaults': ({ rig, defaults }) => this.#keepDefaults(parts, rig, defaults),
        start: (choice) => void this.#begin(parts, choice),
        resume: (id) => void this.#trial.end().then(() => this.#check.resume(parts, id)),
        'give-up': (id) => void this.#check.giveUp(parts, id),
        'sound-check': (wanted) => void this.#trySound(parts, wanted),
        demo: () => void this.#runDemo(parts),
        update: () => void this.useUpdate?.(),
      })}
    ></tn-start-screen>`;
  }

  async #begin(parts: AppParts, choice: StartChoice): Promise<void> {
    const { operator, planId, profileId, rig } = choice;
    this.#settings.change({ operator, rigId: rig.id, planId, profileId });
    const start = this.#startEvent(parts, choice);
    if (start === undefined || this.#check.live !== undefined) return;
    await this.#trial.end();
    const asksReview = start.profile.reportReview !== undefined && choice.review === undefined;
    this.reviewed = asksReview && openItemDefects(this.#check.heads, rig.id).length > 0 ? choice : undefined;
    if (this.reviewed !== undefined) return;
    await this.#check.begin(parts, start);
  }

  /** The same check of the same rig, from its first step. */
  async #again(parts: AppParts, { operator, plan, profile, rig }: StartEvent): Promise<void> {
    await this.#leave(parts);
    await this.#begin(parts, { operator, planId: plan.id, profileId: profile.id, rig });
  }

  #startEvent(parts: AppParts, choice: StartChoice) {
    return this.#library === undefined
      ? undefined
      : startEventOf(
          this.#library,
          choice,
          parts.wall(),
          this.#settings.now.countAloud,
          openItemDefects(this.#check.heads, choice.rig.id),
        );
  }

  async #runDemo(parts: AppParts): Promise<void> {
    await this.#trial.end();
    const rig = this.#rigs.all.find(({ id }) => id === 'engine-31') ?? this.#rigs.all[0] ?? DEMO_RIGS[0];
    if (rig === undefined) return;
    const choice = { rig, operator: 'Demo', planId: 'full-cab-check', profileId: 'fire-practice' };
    const start = this.#startEvent(parts, choice);
    this.demoProblem = (start === undefined ? undefined : await this.#check.watch(parts, start)) ?? '';
  }

  async #trySound(parts: AppParts, wanted: boolean): Promise<void> {
    const { language, microphones } = parts;
    const ear = parts.ear(() => ({ ...this.#settings.now, pushToTalk: false }));
    if (wanted) await this.#trial.begin({ ear, language, microphones });
    else await this.#trial.end();
  }

  async #leave(parts: AppParts): Promise<void> {
    await this.#check.leave(parts);
    await this.#focusHeading();
  }

  async #focusHeading(): Promise<void> {
    const { name } = this.#place.here;
    if (name !== 'check') await this.#screens.come(name);
    await this.updateComplete;
    const screen = this.renderRoot.querySelector<LitElement>(
      'tn-start-screen, tn-rehearse-screen, tn-logs-screen, tn-rigs-screen',
    );
    await screen?.updateComplete;
    screen?.renderRoot.querySelector<HTMLElement>('h1')?.focus();
  }

  #rehearse(on: boolean): void {
    this.rehearsing = on;
    if (!on) this.#place.follow();
  }

  #keepDefaults({ small }: AppParts, rig: string, defaults: RigDefaults): void {
    keepRigDefaults(small, rig, defaults);
    const { planId, profileId } = defaults;
    this.#settings.change({
      ...(planId === undefined ? {} : { planId }),
      ...(profileId === undefined ? {} : { profileId }),
    });
  }

  #keepRig(rig: RigSettings): void {
    this.#rigs.keep(rig);
    this.#settings.change({ rigId: rig.id });
  }
}

declare global {
  interface HTMLElementTagNameMap {
    'two-needles': TwoNeedles;
  }
}
