import type { Scenario } from './scenario.ts';
import { readScenario } from './scenario.ts';
import engine31Healthy from './scenarios/engine-31-healthy.json' with { type: 'json' };
import faultGaugeLags from './scenarios/fault-gauge-lags.json' with { type: 'json' };
import faultGaugeReadsHigh from './scenarios/fault-gauge-reads-high.json' with { type: 'json' };
import faultGovernorDifferential from './scenarios/fault-governor-differential.json' with { type: 'json' };
import faultGovernorHigh from './scenarios/fault-governor-high.json' with { type: 'json' };
import faultGovernorLow from './scenarios/fault-governor-low.json' with { type: 'json' };
import faultLeakAlways from './scenarios/fault-leak-always.json' with { type: 'json' };
import faultLeakApplied from './scenarios/fault-leak-applied.json' with { type: 'json' };
import faultLeakReleased from './scenarios/fault-leak-released.json' with { type: 'json' };
import faultLowAirDead from './scenarios/fault-low-air-dead.json' with { type: 'json' };
import faultLowAirLate from './scenarios/fault-low-air-late.json' with { type: 'json' };
import faultParkingValveSticks from './scenarios/fault-parking-valve-sticks.json' with { type: 'json' };
import faultWeakHold from './scenarios/fault-weak-hold.json' with { type: 'json' };
import faultWornCompressor from './scenarios/fault-worn-compressor.json' with { type: 'json' };
import hiddenFault from './scenarios/hidden-fault.json' with { type: 'json' };
import ladder36Leaking from './scenarios/ladder-36-leaking.json' with { type: 'json' };
import slipBrakeInHold from './scenarios/slip-brake-in-hold.json' with { type: 'json' };
import slipEngineCalledInHold from './scenarios/slip-engine-called-in-hold.json' with { type: 'json' };
import slipEngineInHold from './scenarios/slip-engine-in-hold.json' with { type: 'json' };
import slipEngineOffInWindow from './scenarios/slip-engine-off-in-window.json' with { type: 'json' };
import slipEngineOnAtBuzzer from './scenarios/slip-engine-on-at-buzzer.json' with { type: 'json' };
import slipFastIdleOffInWindow from './scenarios/slip-fast-idle-off-in-window.json' with { type: 'json' };
import slipLateNeedles from './scenarios/slip-late-needles.json' with { type: 'json' };
import slipLowStart from './scenarios/slip-low-start.json' with { type: 'json' };
import slipPedalEased from './scenarios/slip-pedal-eased.json' with { type: 'json' };
import slipSaysHeld from './scenarios/slip-says-held.json' with { type: 'json' };
import slipShortHold from './scenarios/slip-short-hold.json' with { type: 'json' };
import tender34Slow from './scenarios/tender-34-slow.json' with { type: 'json' };

export interface ScenarioGroup {
  readonly title: string;
  readonly scenarios: readonly Scenario[];
}

/** The scenarios that ship with the program, as they are offered. */
export function builtInScenarios(): readonly ScenarioGroup[] {
  return [
    { title: 'Rigs of Tamarack Flats', scenarios: read([engine31Healthy, ladder36Leaking, tender34Slow]) },
    { title: 'Something is hidden', scenarios: read([hiddenFault]) },
    {
      title: 'One known fault',
      scenarios: read([
        faultGaugeLags,
        faultGaugeReadsHigh,
        faultGovernorDifferential,
        faultGovernorHigh,
        faultGovernorLow,
        faultLeakAlways,
        faultLeakApplied,
        faultLeakReleased,
        faultLowAirDead,
        faultLowAirLate,
        faultParkingValveSticks,
        faultWeakHold,
        faultWornCompressor,
      ]),
    },
    {
      title: 'One slip on purpose',
      scenarios: read([
        slipEngineInHold,
        slipEngineCalledInHold,
        slipBrakeInHold,
        slipLowStart,
        slipPedalEased,
        slipEngineOnAtBuzzer,
        slipLateNeedles,
        slipEngineOffInWindow,
        slipFastIdleOffInWindow,
        slipShortHold,
        slipSaysHeld,
      ]),
    },
  ];
}

function read(files: readonly { readonly id: string }[]): readonly Scenario[] {
  return files.map((json) => {
    const scenario = readScenario(json, json.id);
    if (!scenario.ok) throw new Error(scenario.problem.what);
    return scenario.value;
  });
}
