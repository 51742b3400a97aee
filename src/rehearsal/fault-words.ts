import type { Fault } from '../airsystem/fault.ts';
import type { TestId } from '../judging/measurement.ts';

/** A fault as the coach names it, without capital or full stop. */
export function faultWords(fault: Fault): string {
  switch (fault.kind) {
    case 'leak':
      return `a leak of ${fault.psiPerMinute} psi a minute in the ${fault.circuit} circuit, ${LEAK_WHEN[fault.when]}`;
    case 'worn-compressor':
      return `a worn compressor that delivers ${Math.round(fault.remaining * 100)} % of what it should`;
    case 'governor':
      return `a governor that cuts out at ${fault.cutOutPsi} psi and in at ${fault.cutInPsi} psi`;
    case 'dead-low-air-switch':
      return `${switchWords(fault.circuit)} that does not work`;
    case 'late-low-air-switch':
      return `${switchWords(fault.circuit)} that closes only at ${fault.closesAtPsi} psi`;
    case 'sticking-parking-valve':
      return fault.popsAtPsi === 0
        ? 'a parking valve that does not pop out'
        : `a parking valve that pops out only at ${fault.popsAtPsi} psi`;
    case 'lagging-gauge':
      return `a ${fault.circuit} gauge that lags by ${fault.seconds} s`;
    case 'high-gauge':
      return `a ${fault.circuit} gauge that reads ${fault.percent} % high`;
    case 'weak-hold':
      return `spring brakes that hold with ${Math.round(fault.remaining * 100)} % of their force`;
  }
}

const LEAK_WHEN = { always: 'at all times', released: 'with the brakes released', applied: 'with the brake applied' };

function switchWords(circuit: 'primary' | 'secondary' | 'both'): string {
  return circuit === 'both' ? 'a low-air warning of both circuits' : `a low-air warning of the ${circuit} circuit`;
}

/**
 * The tests in which a fault can show. A leak that is always there moves both holds. A gauge that lags or reads high can show wherever
 * needles are called: which of them it moves out of a limit, the needles of the rehearsal tell.
 */
export function testsShowing(fault: Fault): readonly TestId[] {
  switch (fault.kind) {
    case 'leak':
      return {
        always: ['static-leakage', 'applied-leakage'],
        released: ['static-leakage'],
        applied: ['applied-leakage'],
      }[fault.when] as readonly TestId[];
    case 'worn-compressor':
      return ['build-up'];
    case 'governor':
      return ['governor-cut-out', 'governor-cut-in'];
    case 'dead-low-air-switch':
    case 'late-low-air-switch':
      return ['low-air-warning'];
    case 'sticking-parking-valve':
      return ['spring-brake-activation'];
    case 'lagging-gauge':
    case 'high-gauge':
      return ON_A_GAUGE;
    case 'weak-hold':
      return ['tug-test'];
  }
}

const ON_A_GAUGE: readonly TestId[] = [
  'pre-start-fill',
  'governor-cut-out',
  'governor-cut-in',
  'static-leakage',
  'applied-leakage',
  'low-air-warning',
  'spring-brake-activation',
  'build-up',
];
