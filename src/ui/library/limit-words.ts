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
