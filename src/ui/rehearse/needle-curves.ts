import { html, svg } from 'lit';
import type { TemplateResult } from 'lit';
import type { Sample } from '../../rehearsal/trace.ts';
import type { PressureUnit } from '../../units/pressure.ts';
import { pressureIn } from '../../units/pressure.ts';
import type { Ms } from '../../units/time.ts';
import { clockText } from '../shared/words.ts';

const LEFT = 44;
const RIGHT = 12;
const TOP = 26;
const BOTTOM = 26;
/** More points than this cannot be told apart on a screen. */
const MOST_POINTS = 700;
const CIRCUITS = ['primary', 'secondary'] as const;

interface Moment {
  readonly at: Ms;
  readonly label: string;
}

export interface Curves {
  readonly samples: readonly Sample[];
  /** Moments to be marked, in order of time. */
  readonly moments: readonly Moment[];
  /** Spans beside each other: the steps. */
  readonly spans?: readonly { readonly from: Ms; readonly to: Ms }[];
  readonly unit: PressureUnit;
  readonly height: number;
  readonly width: number;
  /** What the picture tells, for who cannot see it. */
  readonly told: string;
}

/** Both needles over time: primary whole, secondary dashed; marked moments as upright lines with their label. */
export function needleCurves(curves: Curves): TemplateResult | '' {
  const { samples, moments, spans = [], unit, height, width, told } = curves;
  const first = samples[0];
  const last = samples.at(-1);
  if (first === undefined || last === undefined) return '';
  const length = Math.max(1, last.at - first.at);
  const value = (psi: number): number => pressureIn({ value: psi, unit: 'psi' }, unit);
  const values = samples.flatMap(({ primary, secondary }) => [value(primary), value(secondary)]);
  const { low, high } = scale(Math.min(...values), Math.max(...values), unit);
  const x = (at: Ms): number => LEFT + ((width - LEFT - RIGHT) * (at - first.at)) / length;
  const y = (of: number): number => height - BOTTOM - ((height - TOP - BOTTOM) * (of - low)) / (high - low);
  const every = Math.ceil(samples.length / MOST_POINTS);
  const points = samples.filter((_, index) => index % every === 0 || index === samples.length - 1);
  return html`<svg class="curves" viewBox="0 0 ${width} ${height}" role="img" aria-label=${told}>
    ${spans.map(({ from, to }, index) =>
      index % 2 === 0
        ? ''
        : svg`<rect class="span" x=${x(from)} y=${TOP} width=${Math.max(0, x(to) - x(from))} height=${height - TOP - BOTTOM} />`,
    )}
    ${[low, (low + high) / 2, high].map((of) => svg`<line class="grid" x1=${LEFT} x2=${width - RIGHT} y1=${y(of)} y2=${y(of)} /><text x=${LEFT - 6} y=${y(of) + 5} text-anchor="end">${Math.round(of)}</text>`)}
    ${CIRCUITS.map((circuit) => svg`<polyline class=${circuit} points=${points.map((sample) => `${x(sample.at).toFixed(1)},${y(value(sample[circuit])).toFixed(1)}`).join(' ')} />`)}
    ${moments.map(({ at }) => svg`<line class="moment" x1=${x(at)} x2=${x(at)} y1=${TOP - 4} y2=${height - BOTTOM} />`)}
    ${labelsAt(moments, x).map((label) => {
      const isLate = label.x > width - RIGHT - LABEL_ROOM;
      return svg`<text class="label" x=${label.x} y=${TOP - 9} text-anchor=${isLate ? 'end' : 'start'}>${label.text}</text>`;
    })}
    <text x=${LEFT} y=${height - 6}>${clockText(first.at)}</text>
    <text x=${width - RIGHT} y=${height - 6} text-anchor="end">${clockText(last.at)}</text>
  </svg>`;
}

/** Labels nearer to each other than this would lie over each other, so they stand together. */
const LABEL_ROOM = 22;

function labelsAt(
  moments: readonly Moment[],
  x: (at: Ms) => number,
): readonly { readonly x: number; readonly text: string }[] {
  const labels: { x: number; text: string }[] = [];
  for (const { at, label } of moments) {
    const last = labels.at(-1);
    if (last !== undefined && x(at) - last.x < LABEL_ROOM * last.text.split(' ').length)
      last.text = `${last.text}, ${label}`;
    else labels.push({ x: x(at), text: label });
  }
  return labels;
}

/** Round numbers below and above, far enough apart that a steady needle is a flat line. */
function scale(least: number, most: number, unit: PressureUnit): { readonly low: number; readonly high: number } {
  const step = unit === 'psi' ? 10 : 100;
  const low = Math.max(0, Math.floor(least / step) * step);
  const high = Math.max(low + 2 * step, Math.ceil((most + 0.01) / step) * step);
  return { low, high };
}
