import { LitElement, css, html } from 'lit';
import type { PropertyValues } from 'lit';
import { customElement, property, state } from 'lit/decorators.js';
import type { ToneName } from '../../answering/tones.ts';
import type { Plan } from '../../check/plan.ts';
import type { LimitProfile } from '../../judging/profile.ts';
import type { RehearsalSetup } from '../../rehearsal/rehearsal.ts';
import { pastOf } from '../../rehearsal/progress.ts';
import { scenarioOf } from '../../rehearsal/pre-trip/past-walk.ts';
import { TOUR_HOLD_SECONDS, tourOf } from '../../rehearsal/tour.ts';
import { FrameController } from '../controllers/frame-controller.ts';
import { LitScreenController } from '../controllers/lit-screen-controller.ts';
import { baseStyles } from '../shared/base-styles.ts';
import type { Settings } from '../../running/settings.ts';
import type { AppParts } from '../shell/app-parts.ts';
import './cab-controls.ts';
import type { Speech } from '../../running/live-check.ts';
import { LiveRehearsal } from '../../running/live-rehearsal.ts';
import type { CheckHead } from '../../record/record-store.ts';
import { readPast } from './past.ts';
import type { Past } from './past.ts';
import './past-rehearsals.ts';
import { keepChoice, lastChoice } from './rehearsal-choice.ts';
import type { LastChoice, RehearsalChoice } from './rehearsal-choice.ts';
import './rehearsal-run.ts';
import './rehearsal-setup.ts';
import { ScenarioShelf } from './scenario-shelf.ts';
import './score-sheet.ts';
import './tour-guide.ts';
import { on, send, sendUp } from '../shared/events.ts';

const NOT_KEPT = 'This rehearsal could not be kept: the storage of this browser failed.';

/** The Rehearse screen: setup and progress, the rehearsal itself, the coach's sheet. Sends `busy` when a rehearsal begins and ends. */
@customElement('tn-rehearse-screen')
export class RehearseScreen extends LitElement {
  @property({ attribute: false }) parts!: AppParts;
  @property({ attribute: false }) plans: readonly Plan[] = [];
  /** Plans with places to walk, for the pre-trip on paper. */
  @property({ attribute: false }) walks: readonly Plan[] = [];
  @property({ attribute: false }) profiles: readonly LimitProfile[] = [];
  @property({ attribute: false }) settings!: Settings;
  /** `tour`: the tour instead of the setup; `pre-trip`: the walk on paper. */
  @property() page = '';
  @state() private rehearsal: LiveRehearsal | undefined;
  @state() private past: readonly Past[] = [];
  @state() private checks: readonly CheckHead[] = [];
  @state() private last: LastChoice | undefined;
  @state() private trainee = '';
  @state() private trouble = '';
  /** Whether the walk on paper, which is fetched when it is first shown, is there. */
  @state() private paper: 'coming' | 'here' | 'missed' | undefined;
  #shelf: ScenarioShelf | undefined;
  #choice: RehearsalChoice | undefined;
  #kept = false;
  #tones: Speech | undefined;
  readonly #screen = new LitScreenController(this);
  readonly #frames = new FrameController(this);

  static override styles = [
    baseStyles,
    css`
      .home {
        display: grid;
        gap: 1rem;
        padding: 1rem;
        max-width: 72rem;
        margin-inline: auto;
      }
      .home h1 {
        font-size: 1.5rem;
      }
      tn-past-rehearsals {
        align-self: start;
      }
      @media (min-width: 56rem) {
        .home {
          grid-template-columns: minmax(0, 1.5fr) minmax(18rem, 1fr);
        }
        h1,
        .lead,
        .tour {
          grid-column: 1 / -1;
        }
      }
    `,
  ];

  protected override willUpdate(changed: PropertyValues<this>): void {
    if (this.page === 'pre-trip' && (this.paper === undefined || (this.paper === 'missed' && changed.has('page'))))
      void this.#fetchPaper();
    if (!changed.has('parts') || this.#shelf !== undefined) return;
    this.#shelf = new ScenarioShelf(this.parts.small);
    this.last = lastChoice(this.parts.small);
    this.trainee = this.last.trainee;
    void this.#load();
  }

  override disconnectedCallback(): void {
    super.disconnectedCallback();
    void this.rehearsal?.close();
    this.rehearsal = undefined;
  }

  override render() {
    const { rehearsal } = this;
    const model = rehearsal?.model;
    if (this.page === 'pre-trip' && rehearsal === undefined) return this.#paper();
    if (this.page === 'tour' && (model === undefined || rehearsal?.over !== undefined)) {
      return html`<tn-tour-guide
        .over=${rehearsal?.over}
        .play=${(name: ToneName) => this.#play(name)}
        ?mute=${this.settings.volume === 0}
        ${on({ again: () => void this.#end().then(() => this.#tour()), leave: (to) => void this.#leaveTour(to) })}
      ></tn-tour-guide>`;
    }
    if (rehearsal?.over !== undefined) {
      return html`<tn-score-sheet
        .rehearsed=${rehearsal.over}
        trouble=${this.trouble}
        ${on({ again: () => void this.#again(), done: () => void this.#leave() })}
      ></tn-score-sheet>`;
    }
    if (rehearsal === undefined || model === undefined) return this.#home();
    return html`<tn-rehearsal-run
      .setup=${rehearsal.setup}
      .model=${model}
      .live=${rehearsal.live}
      .inCab=${rehearsal.inCab}
      ${on({ act: ({ action, source }) => rehearsal.act(action, source), movement: (movement) => rehearsal.move(movement) })}
    ></tn-rehearsal-run>`;
  }

  /** The walk on paper, of which the whole screen is made. */
  #paper() {
    if (this.paper !== 'here')
      return html`<main class="home">
        <h1 tabindex="-1">The pre-trip on paper</h1>
        <p role="status">
          ${this.paper === 'missed' ? 'This part of the app could not be fetched. Look at the network and come back here.' : 'One moment.'}
        </p>
        <p><a href="#rehearse">Back to Rehearse</a></p>
      </main>`;
    return html`<tn-pre-trip-screen
      .parts=${this.parts}
      .plans=${this.walks}
      .profiles=${this.profiles}
      .settings=${this.settings}
      .trainees=${[...new Set(this.past.map(({ trainee }) => trainee))]}
      .randomSeed=${randomSeed}
      ${on({ busy: (busy) => this.#busy(busy), kept: () => void this.#load() })}
    ></tn-pre-trip-screen>`;
  }

  async #fetchPaper(): Promise<void> {
    this.paper = 'coming';
    this.paper = await import('./walk/pre-trip-screen.ts').then(
      () => 'here' as const,
      () => 'missed' as const,
    );
  }

  #home() {
    const titles = new Map([
      ...this.#scenarios().map(({ id, title }): [string, string] => [id, title]),
      ...this.walks.map(({ id, title }): [string, string] => [scenarioOf(id), `${title} on paper`]),
      ...[...this.plans, ...this.walks].flatMap(({ steps }) =>
        steps.map(({ id, title }): [string, string] => [id, title]),
      ),
    ]);
    return html`<main class="home">
      <h1 tabindex="-1">Rehearse</h1>
      <p class="lead">
        A simulated rig with moving needles, and faults to be noticed. Call the check as in a real cab; at the end the
        coach goes through it with you.
      </p>
      <section class="panel tour" aria-label="Two-minute tour">
        <h2>Two-minute tour</h2>
        <p>
          New here? What the tool is for, what it listens for, its tones, and one real hold with simulated air,
          shortened to ${TOUR_HOLD_SECONDS} s. By touch, keys or voice, silent and offline, too. Nothing of it is kept.
        </p>
        <button class="main" @click=${() => (location.hash = '#rehearse/tour')}>Take the tour</button>
      </section>
      <section class="panel tour" aria-label="The pre-trip on paper">
        <h2>The pre-trip on paper</h2>
        <p>
          Engine compartment, cab, walk-round and lights in drawings: find what is wrong, say it, point at it, and say
          whether it puts the rig out of service.
        </p>
        <button @click=${() => (location.hash = '#rehearse/pre-trip')}>Rehearse the pre-trip</button>
      </section>
      <tn-rehearsal-setup
        .shelf=${this.#shelf}
        .plans=${this.plans}
        .profiles=${this.profiles}
        .last=${this.last}
        .trainees=${[...new Set(this.past.map(({ trainee }) => trainee))]}
        .randomSeed=${randomSeed}
        ${on({ trainee: (name) => (this.trainee = name), rehearse: (choice) => void this.#begin(choice) })}
      ></tn-rehearsal-setup>
      <tn-past-rehearsals
        class="panel"
        .past=${this.past}
        .checks=${this.checks}
        .titles=${titles}
        trainee=${this.trainee}
        ?fleeting=${this.parts.rehearsals.place === 'memory'}
        ${on({ remove: (id) => void this.#remove(id) })}
      ></tn-past-rehearsals>
    </main>`;
  }

  #scenarios() {
    return [...(this.#shelf?.builtIn.flatMap(({ scenarios }) => scenarios) ?? []), ...(this.#shelf?.own ?? [])];
  }

  async #begin(choice: RehearsalChoice): Promise<void> {
    const plan = this.plans.find(({ id }) => id === choice.planId) ?? this.plans[0];
    const profile = this.profiles.find(({ id }) => id === choice.profileId) ?? this.profiles[0];
    if (plan === undefined || profile === undefined) return;
    const { parts } = this;
    keepChoice(parts.small, choice);
    this.last = lastChoice(parts.small);
    this.trainee = choice.trainee;
    this.#choice = choice;
    this.#kept = false;
    const { scenario, seed, level, trainee } = choice;
    const setup: RehearsalSetup = {
      scenario,
      ...(seed === undefined ? {} : { seed }),
      level,
      plan,
      profile,
      trainee,
      wall: parts.wall(),
    };
    await this.#run(setup, choice.cuesMove);
  }

  /** One shortened hold, told step by step; it is not among what the trainee has rehearsed. */
  async #tour(): Promise<void> {
    const [plan, profile] = [this.plans[0], this.profiles.find(({ id }) => id === 'fire-practice') ?? this.profiles[0]];
    const scenario = this.#scenarios().find(({ id }) => id === 'engine-31-healthy');
    const tour =
      plan === undefined || profile === undefined || scenario === undefined
        ? undefined
        : tourOf(plan, profile, scenario);
    if (tour === undefined) return;
    this.#kept = true;
    await this.#run({ ...tour, level: 'told', trainee: this.trainee, wall: this.parts.wall() }, true);
  }

  async #run(setup: RehearsalSetup, cuesMove: boolean): Promise<void> {
    const { parts } = this;
    this.trouble = '';
    const { language, steady, wall, every } = parts;
    const settings = (): Settings => this.settings;
    this.rehearsal = new LiveRehearsal(
      {
        language,
        steady,
        wall,
        every,
        settings,
        listen: (pushToTalk) => sendUp(this, 'settings', { pushToTalk }),
        ear: parts.ear(settings),
        speech: parts.speech(settings),
        onChange: () => {
          void this.#keepOnce();
          this.#frames.drawSoon();
        },
      },
      setup,
      cuesMove,
    );
    this.#screen.keep(parts.stayAwake);
    this.#busy(true);
    await this.rehearsal.open();
  }

  async #again(): Promise<void> {
    await this.#end();
    if (this.#choice !== undefined) await this.#begin(this.#choice);
  }

  /** Also where voice is off: whoever presses wants to hear it. */
  #play(name: ToneName): void {
    this.#tones ??= this.parts.speech(() => ({ ...this.settings, voice: true }));
    this.#tones.sound(name);
  }

  async #leaveTour(to: string): Promise<void> {
    location.hash = to;
    await this.#end();
    this.#busy(false);
  }

  async #leave(): Promise<void> {
    await this.#end();
    this.#busy(false);
    await this.updateComplete;
    this.renderRoot.querySelector<HTMLElement>('h1')?.focus();
  }

  async #end(): Promise<void> {
    this.#screen.letSleep();
    const { rehearsal } = this;
    this.rehearsal = undefined;
    await rehearsal?.close();
  }

  #busy(on: boolean): void {
    send(this, 'busy', on);
  }

  async #keepOnce(): Promise<void> {
    const over = this.rehearsal?.over;
    if (over === undefined || this.#kept) return;
    this.#kept = true;
    this.#screen.letSleep();
    await this.parts.rehearsals.keep({ id: this.parts.newId(), ...pastOf(over.setup, over.report) }).catch(() => {
      this.trouble = NOT_KEPT;
    });
    await this.#load();
  }

  async #load(): Promise<void> {
    this.past = readPast(await this.parts.rehearsals.all().catch(() => []));
    this.checks = await this.parts.store.heads().catch(() => []);
  }

  async #remove(id: string): Promise<void> {
    await this.parts.rehearsals.remove(id).catch(() => undefined);
    await this.#load();
  }
}

/** A number that nobody chose. */
function randomSeed(): number {
  // Four digits can be said and written down.
  return (crypto.getRandomValues(new Uint32Array(1))[0] ?? 0) % 10_000;
}

declare global {
  interface HTMLElementTagNameMap {
    'tn-rehearse-screen': RehearseScreen;
  }
}
