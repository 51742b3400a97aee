import { measuredText } from '../../units/measured.ts';
import type { PressureUnit } from '../../units/pressure.ts';
import type { Figure, FigureName, Source } from '../../judging/result.ts';

/** `1.2 +- 0.8 psi/min`, without the uncertainty when there is none. */
export function figureText(figure: Figure): string {
  return `${measuredText(figure.value, figure.uncertainty)} ${figure.unit}`;
}

const FIGURE_WORDS: Record<FigureName, string> = {
  cutOut: 'cut-out',
  cutIn: 'cut-in',
  differential: 'between cut-out and cut-in',
  primaryDrop: 'primary drop',
  secondaryDrop: 'secondary drop',
  primaryRate: 'primary drop in 60 s',
  secondaryRate: 'secondary drop in 60 s',
  interval: 'true interval',
  warningAt: 'warning came at',
  activationAt: 'valve popped at',
  buildUpTime: 'build-up time',
  primary: 'primary',
  secondary: 'secondary',
  leakageFlow: 'air lost',
  deliveredFlow: 'air delivered',
  timeToWarning: 'parked time to the low-air warning',
  deliveredShare: 'share of the rated delivery',
  buildUpRequirement: 'build-up time required',
  frontTread: 'lowest front tread',
  rearTread: 'lowest rear tread',
};

export function figureName(name: FigureName): string {
  return FIGURE_WORDS[name];
}

export const SURE_WORDS: Readonly<Record<Source['sure'], string>> = {
  seen: 'read in a copy of the document',
  secondary: 'seen only in a secondary source',
  memory: 'from memory, not confirmed',
  practice: 'common practice, no source',
};

export function sourceText(source: Source): string {
  const section = source.section === undefined ? '' : `, ${source.section}`;
  return `${source.document}${section} (${SURE_WORDS[source.sure]})`;
}

/** `1:05`, of milliseconds; never negative. */
export function clockText(ms: number): string {
  const seconds = Math.max(0, Math.floor(ms / 1000));
  return `${Math.floor(seconds / 60)}:${String(seconds % 60).padStart(2, '0')}`;
}

export const UNITS: readonly PressureUnit[] = ['psi', 'kPa'];
