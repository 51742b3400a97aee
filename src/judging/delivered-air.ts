import { freeAir } from './air.ts';
import { CIRCUITS } from '../units/circuit.ts';
import { LITRES_PER_CUBIC_FOOT } from './compare.ts';
import type { RigSettings } from './result.ts';
import { figure } from './sheet.ts';
import type { Entry } from './sheet.ts';
import type { Window } from './window.ts';

/**
 * Free air delivered in the window, l/min: sum of reservoir volume × rise ÷ atmosphere ÷ time. The supply tank,
 * which has no gauge, is taken to rise as the lower needle does.
 */
export function deliveredAir(
  window: Window,
  rig: RigSettings,
): { readonly entries: readonly Entry[]; readonly missing: readonly string[] } {
  const { supply, primary, secondary } = rig.reservoirs ?? {};
  if (supply === undefined || primary === undefined || secondary === undefined) {
    return { entries: [], missing: ['The delivered air needs the volumes of all reservoirs in the rig settings.'] };
  }
  const { start, end, unit, seconds, from, to, riseError } = window;
  const service = { primary, secondary };
  const perMinute = 60 / seconds;
  const flow =
    perMinute *
    (freeAir(supply, to - from, unit) +
      CIRCUITS.reduce((sum, circuit) => sum + freeAir(service[circuit], end[circuit] - start[circuit], unit), 0));
  const error = perMinute * freeAir(supply + primary + secondary, riseError, unit);
  const delivered: Entry = {
    name: 'deliveredFlow',
    figure: { ...figure(flow, 'l/min', error), also: { value: flow / LITRES_PER_CUBIC_FOOT, unit: 'cfm' } },
    formula: 'sum of reservoir volume × rise ÷ 101.325 kPa, ÷ time',
    inputs: [
      { name: 'supply reservoir', value: supply, unit: 'l' },
      { name: 'lower needle rise', value: to - from, unit },
      ...CIRCUITS.flatMap((circuit) => [
        { name: `${circuit} reservoir`, value: service[circuit], unit: 'l' },
        { name: `${circuit} rise`, value: end[circuit] - start[circuit], unit },
      ]),
      { name: 'time', value: seconds, unit: 's' },
    ],
    error: 'error of the rise, taken as common to all reservoirs',
  };
  const rated = rig.compressorDisplacement;
  if (rated === undefined) {
    return {
      entries: [delivered],
      missing: [
        'The share of the rated displacement needs the rated displacement of the compressor in the rig settings.',
      ],
    };
  }
  const share: Entry = {
    name: 'deliveredShare',
    figure: figure((100 * flow) / rated, '%', (100 * error) / rated),
    formula: 'delivered free air ÷ rated displacement × 100',
    inputs: [
      { name: 'delivered free air', value: flow, unit: 'l/min' },
      { name: 'rated displacement', value: rated, unit: 'l/min' },
    ],
    error: 'relative error of the delivered air',
  };
  return { entries: [delivered, share], missing: [] };
}
