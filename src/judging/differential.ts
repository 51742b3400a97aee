import { pressureIn } from '../units/pressure.ts';
import { CIRCUITS } from '../units/circuit.ts';
import type { Measurement } from './measurement.ts';
import { earlierNeedles } from './readings.ts';
import type { Needles } from './readings.ts';
import type { RigSettings } from './result.ts';
import { figure } from './sheet.ts';
import type { Entry } from './sheet.ts';
import { combine, COVERAGE, readingUncertainty } from './uncertainty.ts';

/**
 * Governor differential: cut-out − cut-in, each circuit with itself, the smaller of the two, because a governor that
 * cycles too often shows by a small one. Undefined without this check's cut-out.
 */
export function differentialEntry(measurement: Measurement, cutIn: Needles, rig: RigSettings): Entry | undefined {
  const cutOut = earlierNeedles(measurement, 'governor-cut-out');
  if (cutOut === undefined) return undefined;
  const { unit } = cutIn;
  const outAt = (circuit: 'primary' | 'secondary'): number =>
    pressureIn({ value: cutOut[circuit], unit: cutOut.unit }, unit);
  const circuit = outAt('secondary') - cutIn.secondary < outAt('primary') - cutIn.primary ? 'secondary' : 'primary';
  const reads = readingUncertainty(rig, circuit, unit);
  return {
    name: 'differential',
    figure: figure(outAt(circuit) - cutIn[circuit], unit, COVERAGE * combine(reads, reads)),
    formula: 'cut-out − cut-in of the same circuit, the smaller of the two circuits',
    inputs: CIRCUITS.flatMap((each) => [
      { name: `${each} at cut-out`, value: outAt(each), unit },
      { name: `${each} at cut-in`, value: cutIn[each], unit },
    ]),
    error: 'two dial readings, combined in quadrature, times 2',
  };
}
