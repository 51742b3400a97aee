import type { Controls } from '../../../src/airsystem/controls.ts';
import { cuesOf, currentStep } from '../../../src/check/needs.ts';
import type { Rehearsal } from '../../../src/rehearsal/rehearsal.ts';
import type { Needles } from '../../../src/rehearsal/scripted-cab.ts';
import { sampleAt } from '../../../src/rehearsal/play.ts';
import { ScriptedCab } from '../../../src/rehearsal/scripted-cab.ts';
import { pressureIn, type Pressure } from '../../../src/units/pressure.ts';
import type { Ms } from '../../../src/units/time.ts';
import type { Random } from './random.ts';
import { between, chance, pick } from './random.ts';

/** How restless an operator is: shares of callouts that go wrong, and how often something else is done, per minute. */
export interface Temper {
  readonly skips: number;
  readonly late: number;
  readonly swaps: number;
  readonly interjections: number;
  /** Share of what is done beside the check that is done without a word. */
  readonly unsaid: number;
}

export const CALM: Temper = { skips: 0, late: 0, swaps: 0, interjections: 0, unsaid: 0 };

/** Cues that mean "now": said late, they are untrue. */
const MOMENTS: readonly string[] = ['cut-out', 'cut-in', 'buzzer', 'valve-popped'];
/** Cues of what the next one may have undone already. */
const STATES: readonly string[] = ['brake-applied', 'brakes-released', 'engine-started', 'engine-off'];
/** Later than this a moment is no longer now. */
const STILL_NOW: Ms = 3_000;

/** The lower needle stands no further from what "both at …" calls. */
const AT_THE_EDGE_PSI = 5;

interface Doing {
  readonly cue?: string;
  readonly change: Partial<Controls>;
  /** Undoes it; what has no callout of its own cannot be told. */
  readonly undo?: { readonly cue?: string; readonly change: Partial<Controls> };
}

const DOINGS: readonly Doing[] = [
  {
    cue: 'engine-started',
    change: { ignition: true, engine: true },
    undo: { cue: 'engine-off', change: { engine: false } },
  },
  {
    cue: 'engine-off',
    change: { engine: false },
    undo: { cue: 'engine-started', change: { ignition: true, engine: true } },
  },
  { cue: 'brake-applied', change: { pedalPsi: 30 }, undo: { change: { pedalPsi: 0 } } },
  { cue: 'brake-applied', change: { pedalPsi: 90 }, undo: { change: { pedalPsi: 0 } } },
  { cue: 'brakes-released', change: { parking: 'push', pedalPsi: 0 } },
  {
    cue: 'parking-brake-set',
    change: { parking: 'pull' },
    undo: { cue: 'brakes-released', change: { parking: 'push', pedalPsi: 0 } },
  },
  { cue: 'fast-idle-set', change: { fastIdle: true }, undo: { cue: 'fast-idle-off', change: { fastIdle: false } } },
  { cue: 'fast-idle-off', change: { fastIdle: false }, undo: { cue: 'fast-idle-set', change: { fastIdle: true } } },
  { cue: 'in-drive', change: { drive: true }, undo: { change: { drive: false } } },
];
/** Words that come to nothing but doubt. */
const ADVERSE: readonly string[] = ['rig-moved', 'no-warning', 'valve-stayed-in', 'pulled-left'];

/** A scripted cab whose operator forgets, comes late, says things in another order, and does other things in between. */
export class RestlessCab extends ScriptedCab {
  /** What was done or said that no listener could know of, or was not true; in order. */
  readonly unknowable: { readonly at: Ms; readonly what: string }[] = [];
  /** Anything at all beside the check. */
  restless = false;
  readonly #random: Random;
  readonly #temper: Temper;
  #deferred: string[] = [];
  /** The cue that is about to be said, and how many callouts there are before it. */
  #saying: { readonly cue: string; readonly callouts: number } | undefined;
  /** Nothing is interjected into an interjection. */
  #busy = false;

  constructor(rehearsal: Rehearsal, random: Random, temper: Temper) {
    super(rehearsal);
    this.#random = random;
    this.#temper = temper;
  }

  /** Seldom, for speed. */
  protected override get tick(): Ms {
    return 400;
  }

  override wait(ms: Ms): void {
    super.wait(ms);
    if (this.#busy || !chance(this.#random, (this.#temper.interjections * ms) / 60_000)) return;
    const saying = this.#saying;
    const isYetToBeSaid = saying !== undefined && this.rehearsal.check.callouts.length === saying.callouts;
    this.#alone(() => this.#interject());
    if (!isYetToBeSaid) return;
    // What was done between the breath and the word may make the word a false one.
    const untrue = this.#against(saying.cue);
    if (untrue !== undefined) this.#untrue(`“${saying.cue}” ${untrue}`);
    this.#saying = { cue: saying.cue, callouts: this.rehearsal.check.callouts.length };
  }

  override cue(cue: string): void {
    if (this.#busy) {
      super.cue(cue);
      return;
    }
    if (chance(this.#random, this.#temper.skips)) {
      this.restless = true;
      this.#leaveOut(cue);
      return;
    }
    const late = this.#dawdle();
    if (chance(this.#random, this.#temper.swaps)) {
      this.restless = true;
      this.#leaveOut(cue);
      this.#deferred.push(cue);
      return;
    }
    const untrue = this.#against(cue);
    if (untrue !== undefined) this.#untrue(`“${cue}” ${untrue}`);
    if (late > STILL_NOW && MOMENTS.includes(cue)) this.#untrue(`“${cue}” ${(late / 1000).toFixed(0)} s late`);
    this.#saying = { cue, callouts: this.rehearsal.check.callouts.length };
    super.cue(cue);
    this.#saying = undefined;
    this.#flush();
  }

  /** What is otherwise in the cab than a cue says: something was done in between. */
  #against(cue: string): string | undefined {
    const { pedalPsi = 0, engine = false, ignition = false } = this.rehearsal.cab.hands.at(-1)?.controls ?? {};
    const { parkingOut } = sampleAt(this.rehearsal.cab, this.now);
    switch (cue) {
      case 'brakes-released':
        return pedalPsi > 0 ? 'with the foot on the brake' : parkingOut ? 'with the parking brake set' : undefined;
      case 'brake-applied':
        return pedalPsi === 0 ? 'with the foot off the brake' : undefined;
      case 'engine-off':
        return engine && ignition ? 'with the engine running' : undefined;
      case 'engine-started':
        return engine && ignition ? undefined : 'with the engine stopped';
      default:
        return undefined;
    }
  }

  override needles(called?: Needles): Ms {
    if (!this.#busy) this.#dawdle();
    const end = super.needles(called);
    this.#flush();
    return end;
  }

  override both(pressure: Pressure): void {
    if (!this.#busy && this.#dawdle() > 0) this.needles();
    else {
      this.#compare(pressure);
      super.both(pressure);
    }
    this.#flush();
  }

  /** A window that is called when the needles are long past its edge is a false word, however often it is confirmed. */
  #compare(called: Pressure): void {
    const { primary, secondary } = sampleAt(this.rehearsal.cab, this.now);
    const lower = Math.min(primary, secondary);
    if (Math.abs(lower - pressureIn(called, 'psi')) > AT_THE_EDGE_PSI)
      this.#untrue(`“both at ${called.value.toString()}” with the lower needle at ${lower.toFixed(0)}`);
  }

  /** What a step does not wait for, and is not said, is done without a word. */
  #leaveOut(cue: string): void {
    const { check } = this.rehearsal;
    const step = currentStep(check);
    const isWaitedFor = check.phase !== 'holding' && step !== undefined && cuesOf(step).includes(cue);
    if (STATES.includes(cue) && !isWaitedFor) this.#untrue(`“${cue}” left out`);
  }

  /** Marks what is said or done as something that no listener could know. */
  #untrue(what: string): void {
    this.restless = true;
    this.unknowable.push({ at: this.now, what });
  }

  #alone(act: () => void): void {
    this.#busy = true;
    act();
    this.#busy = false;
  }

  /** How late the next callout is. */
  #dawdle(): Ms {
    if (!chance(this.#random, this.#temper.late)) return 0;
    this.restless = true;
    const ms = 1000 * (chance(this.#random, 0.6) ? between(this.#random, 1, 12) : between(this.#random, 15, 90));
    this.wait(ms);
    return ms;
  }

  #flush(): void {
    const deferred = this.#deferred;
    this.#deferred = [];
    this.#alone(() => {
      for (const cue of deferred) {
        if (MOMENTS.includes(cue) || STATES.includes(cue)) this.#untrue(`“${cue}” after what came behind it`);
        super.cue(cue);
      }
    });
  }

  #interject(): void {
    this.restless = true;
    const kind = this.#random();
    if (kind < 0.15) {
      super.needles();
      return;
    }
    if (kind < 0.25) {
      super.cue(pick(this.#random, ADVERSE));
      return;
    }
    const doing = pick(this.#random, DOINGS);
    this.#do(doing);
    if (doing.undo === undefined || !chance(this.#random, 0.7)) return;
    this.wait(1000 * between(this.#random, 1, 40));
    this.#do(doing.undo);
  }

  #do({ cue, change }: { readonly cue?: string; readonly change: Partial<Controls> }): void {
    this.set(change);
    if (cue === undefined || chance(this.#random, this.#temper.unsaid)) {
      this.#untrue(`without a word: ${JSON.stringify(change)}`);
      return;
    }
    super.cue(cue);
  }
}
