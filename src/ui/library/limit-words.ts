import type { EngineSpeed, TestId } from '../../judging/measurement.ts';
import type { LimitFigure } from '../../judging/profile.ts';

/** What a limit of a profile is held against, in words. */
export const LIMIT_WORDS: Readonly<Record<LimitFigure, string>> = {
  reading: 'Each needle',
  rate: 'Drop of each circuit in a minute',
  cutOut: 'Cut-out',
  cutIn: 'Cut-in',
  differential: 'Between cut-out and cut-in',
  warningAt: 'Pressure of the warning',
  activationAt: 'Pressure at which the valve pops',
  buildUpTime: 'Build-up time',
};

/** Engine speeds of a build-up. */
export const SPEED_WORDS: Readonly<Record<EngineSpeed, string>> = {
  idle: 'idle',
  operating: 'operating speed: fast idle, or about 1200 rpm',
  governed: 'full governed speed',
};

/** The tests by their trade terms. */
export const TEST_WORDS: Readonly<Record<TestId, string>> = {
  none: 'Confirmation',
  'plain-reading': 'Plain reading',
  'pre-start-fill': 'Pre-start fill',
  'governor-cut-out': 'Governor cut-out',
  'governor-cut-in': 'Governor cut-in',
  'static-leakage': 'Static leakage',
  'applied-leakage': 'Applied leakage',
  'low-air-warning': 'Low-air warning',
  'spring-brake-activation': 'Spring brake activation',
  'build-up': 'Build-up',
  'tug-test': 'Tug test',
  'hand-valve-test': 'Hand valve test',
  'service-brake-test': 'Service brake test',
};
