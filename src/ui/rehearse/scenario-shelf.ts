import { builtInScenarios } from '../../airsystem/built-in-scenarios.ts';
import type { ScenarioGroup } from '../../airsystem/built-in-scenarios.ts';
import type { Scenario } from '../../airsystem/scenario.ts';
import { readScenario } from '../../airsystem/scenario.ts';
import type { Outcome } from '../../units/outcome.ts';
import { bad } from '../../units/outcome.ts';
import type { SmallStore } from '../../running/settings.ts';

const STORED = 'scenarios';
/** Files above this are no scenarios; reading them would only make the page hang. */
const MOST_CHARACTERS = 1_000_000;

/** The scenarios that can be rehearsed: those of the program, and a department's own, kept on this device. */
export class ScenarioShelf {
  readonly builtIn: readonly ScenarioGroup[] = builtInScenarios();
  readonly #small: SmallStore;
  #own: readonly Scenario[];

  constructor(small: SmallStore) {
    this.#small = small;
    const stored = small.get(STORED);
    // What a later build no longer takes is left where it is.
    this.#own = (Array.isArray(stored) ? stored : []).flatMap((json: unknown) => {
      const scenario = readScenario(json, STORED);
      return scenario.ok ? [scenario.value] : [];
    });
  }

  get own(): readonly Scenario[] {
    return this.#own;
  }

  /** Takes in a file; one of the same id is replaced. What is wrong with it is a problem with path and reason. */
  add(text: string, file: string): Outcome<Scenario> {
    const json = parsed(text, file);
    if (!json.ok) return json;
    const scenario = readScenario(json.value, file);
    if (scenario.ok) this.#keep([...this.#own.filter(({ id }) => id !== scenario.value.id), scenario.value]);
    return scenario;
  }

  remove(id: string): void {
    this.#keep(this.#own.filter((each) => each.id !== id));
  }

  #keep(own: readonly Scenario[]): void {
    this.#own = own;
    this.#small.set(STORED, own);
  }
}

function parsed(text: string, file: string): Outcome<unknown> {
  if (text.length > MOST_CHARACTERS) return bad('This file is too large to be a scenario.', file);
  try {
    return { ok: true, value: JSON.parse(text) as unknown };
  } catch {
    return bad(
      'This file is not JSON.',
      file,
      'A scenario is a JSON file that begins with "format": "two-needles-scenario".',
    );
  }
}
