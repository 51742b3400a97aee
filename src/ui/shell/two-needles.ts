import { LitElement, html } from 'lit';
import type { PropertyValues } from 'lit';
import { customElement, property, state } from 'lit/decorators.js';
import type { StartEvent } from '../../check/event.ts';
import type { RigSettings } from '../../judging/result.ts';
import { memoryStore } from '../../record/memory-store.ts';
import type { CheckHead } from '../../record/record-store.ts';
import { problemLine } from '../../units/outcome.ts';
import type { SoundReport } from '../../hearing/sound-watch.ts';
import '../check/check-screen.ts';
import type { Ear } from '../../running/ear.ts';
import '../check/end-screen.ts';
import { givenUpHead } from '../../running/head-of.ts';
import { LiveCheck } from '../../running/live-check.ts';
import { Library } from '../library/library.ts';
import { baseStyles } from '../shared/base-styles.ts';
import type { Settings } from '../../running/settings.ts';
import { DEFAULT_SETTINGS, readSettings } from '../../running/settings.ts';
import { applyLook } from '../shared/look.ts';
import { readRigs } from '../start/rigs.ts';
import type { StartChoice, StartModel } from '../start/start-model.ts';
import '../start/start-screen.ts';
import '../logs/logs-screen.ts';
import '../rehearse/rehearse-screen.ts';
import '../rigs/rigs-screen.ts';
import type { AppParts } from './app-parts.ts';
import './places-bar.ts';
import { placeOf } from './places.ts';
import { startEventOf } from './start-event.ts';
import { CLAIMED_ELSEWHERE } from './record-notices.ts';
import { captionsOnly } from '../../running/speech-over.ts';
import { on } from '../shared/events.ts';
import type { Action } from '../../running/check-model.ts';

const DEMO_LINE =
  'A made-up operator goes through a whole check. The real ear, machine and judge hear it, faster than it was spoken.';

/** The app: start, check and end screens over one set of parts, which it waits for. */
@customElement('two-needles')
export class TwoNeedles extends LitElement {
  @property({ attribute: false }) parts: AppParts | undefined;
  /** Sentences for the start screen and the Check screen. */
  @property({ attribute: false }) notices: readonly string[] = [];
  /** Set when a newer build waits; called when the user wants it. Never offered during a check. */
  @property({ attribute: false }) useUpdate: (() => void) | undefined;
  @state() private settings: Settings = DEFAULT_SETTINGS;
  @state() private rigs: readonly RigSettings[] = [];
  @state() private heads: readonly CheckHead[] = [];
  @state() private live: LiveCheck | undefined;
  @state() private place = placeOf(location.hash);
  /** A rehearsal runs: like a check it lies over all screens. */
  @state() private rehearsing = false;
  @state() private demo: StartModel['demo'] = { state: 'ready', line: DEMO_LINE };
  @state() private soundCheck: StartModel['soundCheck'] = 'idle';
  @state() private sound: SoundReport | undefined;
  @state() private earLine = 'Try the microphone before the first check.';
  #library: Library | undefined;
  #trial: Ear | undefined;
  #demoCancel: AbortController | undefined;
  #letSleep: () => void = () => undefined;
  #watching = false;
  #frame: number | undefined;

  static override styles = [baseStyles];

  override connectedCallback(): void {
    super.connectedCallback();
    window.addEventListener('hashchange', this.#moved);
  }

  override disconnectedCallback(): void {
    super.disconnectedCallback();
    window.removeEventListener('hashchange', this.#moved);
  }

  #moved = (): void => {
    const before = this.place;
    if (this.rehearsing) return;
    this.place = placeOf(location.hash);
    if (this.place.name === before.name || this.live !== undefined) return;
    void this.#loadHeads();
    if (before.name === 'check') void this.#endTrial();
    void this.#focusHeading();
  };

  protected override willUpdate(changed: PropertyValues<this>): void {
    if (changed.has('parts') && this.parts !== undefined) this.#begun(this.parts);
    if (changed.has('notices')) this.live?.noticed();
  }

  #begun(parts: AppParts): void {
    this.settings = readSettings(parts.small.get('settings'));
    this.rigs = readRigs(parts.small.get('rigs'));
    this.#library = new Library(parts.small, parts.plans, parts.profiles, parts.language.cues);
    parts.prefersDark.onChange(() => this.#look());
    this.#look();
    void this.#loadHeads();
  }

  override render() {
    const { parts, live } = this;
    if (parts === undefined) return html`<p>${this.notices.join(' ')}</p>`;
    if (live?.model === undefined)
      return html`<tn-places here=${this.place.name} ?hidden=${this.rehearsing}></tn-places>${this.#screen(parts)}`;
    if (live.model.finished !== undefined) {
      return html`<tn-end-screen
        .model=${live.model}
        rigName=${live.start.rig.name}
        profileTitle=${live.start.profile.title}
        applicability=${live.start.profile.applicability}
        ?demo=${this.#watching}
        .notices=${live.live.notices}
        ${on({ done: () => void this.#leave() })}
      ></tn-end-screen>`;
    }
    return html`<tn-check-screen
      .model=${live.model}
      applicability=${live.start.profile.applicability}
      .live=${live.live}
      .settings=${this.settings}
      ${on({ settings: (change) => this.#change(change) })}
      ?watched=${this.#watching}
      ${on({ act: ({ action, source }) => this.#act(action, source) })}
    ></tn-check-screen>`;
  }

  /** What the address names; a check that runs is above all of it. */
  #screen(parts: AppParts) {
    const { name, id, query } = this.place;
    switch (name) {
      case 'logs':
        return html`<tn-logs-screen
          .store=${parts.store}
          .profiles=${this.#library?.profiles.all ?? []}
          .language=${parts.language}
          .plan=${parts.plans[0]}
          .ears=${parts.ears}
          .clock=${parts}
          check=${id}
          query=${query}
        ></tn-logs-screen>`;
      case 'rehearse':
        return html`<tn-rehearse-screen
          .parts=${parts}
          .plans=${this.#library?.plans.all ?? []}
          .profiles=${this.#library?.profiles.all ?? []}
          .settings=${this.settings}
          ${on({ busy: (busy) => this.#rehearse(busy) })}
        ></tn-rehearse-screen>`;
      case 'rigs':
        return html`<tn-rigs-screen
          .store=${parts.store}
          .steady=${parts.steady}
          .rigs=${this.rigs}
          ${on({ rig: (rig) => this.#keepRig(rig) })}
        ></tn-rigs-screen>`;
      case 'check':
        return this.#start(parts);
    }
  }

  #start(parts: AppParts) {
    const model: StartModel = {
      rigs: this.rigs,
      plans: (this.#library?.plans.all ?? []).map(({ id, title, steps }) => ({ id, title, steps: steps.length })),
      profiles: (this.#library?.profiles.all ?? []).map(({ id, title }) => ({ id, title })),
      unfinished: this.heads.filter((head) => head.state === 'running'),
      past: this.heads.filter((head) => head.state !== 'running').slice(0, 30),
      earLine: this.earLine,
      soundCheck: this.soundCheck,
      ...(this.sound === undefined ? {} : { sound: this.sound }),
      demo: this.demo,
      notices: this.notices,
      updateWaits: this.useUpdate !== undefined,
    };
    return html`<tn-start-screen
      .model=${model}
      .library=${this.#library}
      .earModels=${parts.earModels}
      .settings=${this.settings}
      ${on({ settings: (change) => this.#change(change), rig: (rig) => this.#keepRig(rig), start: (choice) => void this.#begin(parts, choice), resume: (id) => void this.#resume(parts, id), 'give-up': (id) => void this.#giveUp(parts, id), 'sound-check': (wanted) => void this.#trySound(parts, wanted), demo: (wanted) => void this.#runDemo(parts, wanted), update: () => this.useUpdate?.() })}
    ></tn-start-screen>`;
  }

  async #begin(parts: AppParts, choice: StartChoice): Promise<void> {
    this.#change({
      operator: choice.operator,
      rigId: choice.rig.id,
      planId: choice.planId,
      profileId: choice.profileId,
    });
    const start = this.#startEvent(parts, choice);
    if (start === undefined || this.live !== undefined) return;
    await this.#endTrial();
    this.#watching = false;
    const id = parts.newId();
    await parts.claims.take(id);
    const ear = parts.ear(() => this.settings);
    this.#run(parts, LiveCheck.begin(this.#liveParts(parts, id, ear), start));
  }

  #startEvent(parts: AppParts, choice: StartChoice): StartEvent | undefined {
    return this.#library === undefined
      ? undefined
      : startEventOf(this.#library, choice, parts.wall(), this.settings.countAloud);
  }

  /** False, with a notice, when another tab writes that check. */
  async #claimed(parts: AppParts, id: string): Promise<boolean> {
    const claimed = await parts.claims.take(id);
    const others = this.notices.filter((line) => line !== CLAIMED_ELSEWHERE);
    this.notices = claimed ? others : [...others, CLAIMED_ELSEWHERE];
    return claimed;
  }

  async #resume(parts: AppParts, id: string): Promise<void> {
    if (!(await this.#claimed(parts, id))) return;
    await this.#endTrial();
    const events = await parts.store.events(id);
    this.#watching = false;
    const ear = parts.ear(() => this.settings);
    const live = LiveCheck.resume(this.#liveParts(parts, id, ear), events);
    if (live === undefined) {
      this.notices = [...this.notices, 'That check has no start in the record, so it cannot go on.'];
      await this.#giveUp(parts, id);
      return;
    }
    this.#run(parts, live);
  }

  async #giveUp(parts: AppParts, id: string): Promise<void> {
    if (!(await this.#claimed(parts, id))) return;
    const head = this.heads.find((candidate) => candidate.id === id);
    const events = await parts.store.events(id);
    if (head !== undefined)
      await parts.store.close(
        events[0]?.type === 'start'
          ? givenUpHead(id, events[0], events)
          : { ...head, state: 'given-up', verdict: 'incomplete' },
      );
    parts.claims.release();
    await this.#loadHeads();
  }

  async #runDemo(parts: AppParts, on: boolean): Promise<void> {
    this.#demoCancel?.abort();
    if (!on) {
      this.demo = { state: 'ready', line: DEMO_LINE };
      return;
    }
    const cancel = new AbortController();
    this.#demoCancel = cancel;
    this.demo = { state: 'loading', line: 'Loading the recording and the ear.', progress: 0 };
    await this.#endTrial();
    const ear = await parts.demoEar((progress) => (this.demo = { ...this.demo, progress }), cancel.signal);
    if (cancel.signal.aborted) return;
    if (!ear.ok) {
      this.demo = { state: 'ready', line: problemLine(ear.problem) };
      return;
    }
    this.demo = { state: 'ready', line: DEMO_LINE };
    const rig = this.rigs.find(({ id }) => id === 'engine-31') ?? this.rigs[0];
    const start =
      rig === undefined
        ? undefined
        : this.#startEvent(parts, { rig, operator: 'Demo', planId: 'full-cab-check', profileId: 'fire-practice' });
    if (start === undefined) return;
    this.#watching = true;
    const live = this.#liveParts(parts, `demo-${parts.newId()}`, ear.value);
    // Only the recording's own clock counts, and a demo is not kept among the checks of real rigs.
    this.#run(
      parts,
      LiveCheck.begin(
        { ...live, speech: captionsOnly(live.speech), store: memoryStore(), steady: () => 0, wall: () => start.wall },
        { ...start, asking: 'assume' },
      ),
    );
  }

  #liveParts(parts: AppParts, id: string, ear: Ear) {
    const { store, language, steady, wall, every, wav } = parts;
    const speech = parts.speech(() => this.settings);
    return {
      id,
      ear,
      store,
      language,
      steady,
      wall,
      every,
      wav,
      speech,
      settings: () => this.settings,
      onChange: () => this.#showSoon(),
      notices: () => this.notices,
    };
  }

  #run(parts: AppParts, live: LiveCheck): void {
    this.live = live;
    this.#letSleep = parts.stayAwake();
    void live.open();
  }

  /** The demo changes hundreds of times a second; the screen shows at most one state per frame. */
  #showSoon(): void {
    if (this.#frame !== undefined) return;
    this.#frame = requestAnimationFrame(() => {
      this.#frame = undefined;
      this.requestUpdate();
    });
  }

  #act(action: Action, source: 'touch' | 'key'): void {
    if (action.do === 'leave') void this.#leave();
    else this.live?.act(action, source);
  }

  async #leave(): Promise<void> {
    const { live } = this;
    this.live = undefined;
    this.#watching = false;
    this.#letSleep();
    await live?.close();
    this.parts?.claims.release();
    await this.#loadHeads();
    await this.#focusHeading();
  }

  async #focusHeading(): Promise<void> {
    await this.updateComplete;
    const screen = this.renderRoot.querySelector<LitElement>(
      'tn-start-screen, tn-rehearse-screen, tn-logs-screen, tn-rigs-screen',
    );
    await screen?.updateComplete;
    screen?.renderRoot.querySelector<HTMLElement>('h1')?.focus();
  }

  #rehearse(on: boolean): void {
    this.rehearsing = on;
    // The address may have been changed in the meantime.
    if (!on) this.#moved();
  }

  async #trySound(parts: AppParts, on: boolean): Promise<void> {
    if (!on) {
      await this.#endTrial();
      return;
    }
    this.soundCheck = 'starting';
    const trial = parts.ear(() => ({ ...this.settings, pushToTalk: false }));
    this.#trial = trial;
    await trial.open({
      heard: () => Promise.resolve(),
      progress: () => Promise.resolve(),
      end: () => undefined,
      level: (sound) => (this.sound = sound),
      state: (ear, line) => {
        this.earLine = line;
        if (ear === 'listening') this.soundCheck = 'running';
        if (ear === 'unavailable') this.soundCheck = 'idle';
      },
    });
  }

  async #endTrial(): Promise<void> {
    const trial = this.#trial;
    this.#trial = undefined;
    this.soundCheck = 'idle';
    this.sound = undefined;
    await trial?.close();
  }

  #change(change: Partial<Settings>): void {
    this.settings = { ...this.settings, ...change };
    this.parts?.small.set('settings', this.settings);
    this.#look();
    // Keys and pad are as they were just set, though nothing is heard.
    this.live?.noticed();
  }

  #keepRig(rig: RigSettings): void {
    const known = this.rigs.some(({ id }) => id === rig.id);
    this.rigs = known ? this.rigs.map((each) => (each.id === rig.id ? rig : each)) : [...this.rigs, rig];
    this.parts?.small.set('rigs', this.rigs);
    this.#change({ rigId: rig.id });
  }

  async #loadHeads(): Promise<void> {
    this.heads = (await this.parts?.store.heads()) ?? [];
  }

  #look(): void {
    applyLook(document.documentElement, this.settings, this.parts?.prefersDark.now() ?? false);
  }
}

declare global {
  interface HTMLElementTagNameMap {
    'two-needles': TwoNeedles;
  }
}
