import { LitElement, css, html } from 'lit';
import type { PropertyValues } from 'lit';
import { customElement, property, state } from 'lit/decorators.js';
import type { Plan } from '../../../check/plan.ts';
import type { LimitProfile } from '../../../judging/profile.ts';
import { LEVELS } from '../../../rehearsal/level.ts';
import { pastWalk } from '../../../rehearsal/pre-trip/past-walk.ts';
import { paperPlan } from '../../../rehearsal/pre-trip/walk.ts';
import { LiveWalk } from '../../../running/live-walk.ts';
import type { Settings } from '../../../running/settings.ts';
import { FrameController } from '../../controllers/frame-controller.ts';
import { LitScreenController } from '../../controllers/lit-screen-controller.ts';
import { baseStyles } from '../../shared/base-styles.ts';
import { on, send } from '../../shared/events.ts';
import type { AppParts } from '../../shell/app-parts.ts';
import type { WalkChoice } from './walk-choice.ts';
import './walk-run.ts';
import './walk-setup.ts';
import './walk-sheet.ts';

const STORED = 'walk-on-paper';
const NOT_KEPT = 'This rehearsal could not be kept: the storage of this browser failed.';

/** The rehearsal of the pre-trip: its setup, the walk over drawings, and the coach's sheet. Sends `busy` as a rehearsal does, and `kept` when one was kept. */
@customElement('tn-pre-trip-screen')
export class PreTripScreen extends LitElement {
  @property({ attribute: false }) parts!: AppParts;
  /** All plans of this device. */
  @property({ attribute: false }) plans: readonly Plan[] = [];
  @property({ attribute: false }) profiles: readonly LimitProfile[] = [];
  @property({ attribute: false }) settings!: Settings;
  @property({ attribute: false }) trainees: readonly string[] = [];
  @property({ attribute: false }) randomSeed: () => number = () => 0;
  @state() private walk: LiveWalk | undefined;
  @state() private last: Omit<WalkChoice, 'seed'> = { trainee: '', planId: 'whole-pre-trip', level: 'told' };
  @state() private trouble = '';
  #choice: WalkChoice | undefined;
  #kept = false;
  #read = false;
  /** What is drawn of each plan, by its id: made once, so that its grammar is. */
  #papers: ReadonlyMap<string, Plan> = new Map();
  readonly #screen = new LitScreenController(this);
  readonly #frames = new FrameController(this);

  static override styles = [
    baseStyles,
    css`
      .home {
        display: grid;
        gap: 1rem;
        padding: 1rem;
        max-width: 44rem;
        margin-inline: auto;
      }
      h1 {
        font-size: 1.5rem;
      }
    `,
  ];

  protected override willUpdate(changed: PropertyValues<this>): void {
    if (changed.has('plans')) this.#papers = new Map(this.plans.flatMap((plan) => pair(plan.id, paperPlan(plan))));
    if (!changed.has('parts') || this.#read) return;
    this.#read = true;
    const stored = this.parts.small.get(STORED);
    if (typeof stored !== 'object' || stored === null) return;
    const { trainee, planId, level } = stored as Partial<Record<keyof WalkChoice, unknown>>;
    this.last = {
      trainee: typeof trainee === 'string' ? trainee : '',
      planId: typeof planId === 'string' ? planId : this.last.planId,
      level: LEVELS.find((each) => each === level) ?? 'told',
    };
  }

  override disconnectedCallback(): void {
    super.disconnectedCallback();
    void this.walk?.close();
    this.walk = undefined;
  }

  override render() {
    const { walk } = this;
    if (walk?.over !== undefined)
      return html`<tn-walk-sheet
        .walked=${walk.over}
        trouble=${this.trouble}
        ${on({ again: () => void this.#again(), done: () => void this.#leave() })}
      ></tn-walk-sheet>`;
    const { model, walked } = walk ?? {};
    if (walk === undefined || model === undefined || walked === undefined) return this.#home();
    return html`<tn-walk-run
      .setup=${walk.setup}
      .model=${model}
      .live=${walk.live}
      .walked=${walked}
      ${on({ act: ({ action, source }) => walk.act(action, source), explain: ({ item, what }) => walk.explain(item, what) })}
    ></tn-walk-run>`;
  }

  #home() {
    const drawn = this.plans.filter(({ id }) => this.#papers.has(id));
    return html`<main class="home">
      <p><a href="#rehearse">Back to Rehearse</a></p>
      <h1 tabindex="-1">The pre-trip on paper</h1>
      <p>
        A rig in drawings, place by place, with faults that you find. Say each item and how it is, by voice or by touch:
        what is wrong, where, and whether it puts the rig out of service or is reported. The coach ends it with a sheet.
      </p>
      <tn-walk-setup
        .plans=${drawn}
        .last=${this.last}
        .trainees=${this.trainees}
        .randomSeed=${this.randomSeed}
        ${on({ walk: (choice) => void this.#begin(choice) })}
      ></tn-walk-setup>
    </main>`;
  }

  async #begin(choice: WalkChoice): Promise<void> {
    const { parts } = this;
    const plan = this.#papers.get(choice.planId);
    const [profile] = this.profiles;
    if (plan === undefined || profile === undefined) return;
    const { trainee, planId, level, seed } = choice;
    this.last = { trainee, planId, level };
    parts.small.set(STORED, this.last);
    this.#choice = choice;
    this.#kept = false;
    this.trouble = '';
    const { language, steady, wall, every } = parts;
    const settings = (): Settings => this.settings;
    this.walk = new LiveWalk(
      {
        language,
        steady,
        wall,
        every,
        settings,
        ear: parts.ear(settings),
        speech: parts.speech(settings),
        onChange: () => {
          void this.#keepOnce();
          this.#frames.drawSoon();
        },
      },
      { plan, profile, level, seed, trainee, wall: wall() },
    );
    this.#screen.keep(parts.stayAwake);
    send(this, 'busy', true);
    await this.walk.open();
  }

  async #again(): Promise<void> {
    await this.#end();
    if (this.#choice !== undefined) await this.#begin({ ...this.#choice, seed: this.randomSeed() });
  }

  async #leave(): Promise<void> {
    await this.#end();
    send(this, 'busy', false);
    await this.updateComplete;
    this.renderRoot.querySelector<HTMLElement>('h1')?.focus();
  }

  async #end(): Promise<void> {
    this.#screen.letSleep();
    const { walk } = this;
    this.walk = undefined;
    await walk?.close();
  }

  async #keepOnce(): Promise<void> {
    const over = this.walk?.over;
    if (over === undefined || this.#kept) return;
    this.#kept = true;
    this.#screen.letSleep();
    const { setup, report } = over;
    await this.parts.rehearsals
      .keep({ id: this.parts.newId(), ...pastWalk({ ...setup, planId: setup.plan.id }, report) })
      .catch(() => {
        this.trouble = NOT_KEPT;
      });
    send(this, 'kept');
  }
}

function pair(id: string, plan: Plan | undefined): readonly (readonly [string, Plan])[] {
  return plan === undefined ? [] : [[id, plan]];
}

declare global {
  interface HTMLElementTagNameMap {
    'tn-pre-trip-screen': PreTripScreen;
  }
}
