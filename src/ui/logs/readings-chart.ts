import { html, svg } from 'lit';
import type { TemplateResult } from 'lit';
import type { CheckState } from '../../check/state.ts';
import { pressureIn } from '../../units/pressure.ts';
import type { Ms } from '../../units/time.ts';
import { clockText } from '../shared/words.ts';

const WIDTH = 720;
const HEIGHT = 260;
const LEFT = 44;
const RIGHT = 12;
const TOP = 14;
const BOTTOM = 34;
const CIRCUITS = ['primary', 'secondary'] as const;

interface Point {
  readonly at: Ms;
  readonly value: number;
}

/** All needles that were taken, over the time of the check, in the unit of the rig. */
export function readingsChart(state: CheckState): TemplateResult {
  const { unit } = state.start.rig;
  const readings = state.records.flatMap(({ progress }) => progress.readings).sort((a, b) => a.start - b.start);
  if (readings.length === 0) return html`<p class="quiet">No needles were called.</p>`;
  const end = Math.max(state.now, 1);
  const series = CIRCUITS.map((circuit) => ({
    circuit,
    points: readings.flatMap((reading): Point[] => {
      const pressure = reading[circuit];
      return pressure === undefined ? [] : [{ at: reading.start, value: pressureIn(pressure, unit) }];
    }),
  }));
  const top = ceiling(Math.max(...series.flatMap(({ points }) => points.map(({ value }) => value))));
  const x = (at: Ms): number => LEFT + ((WIDTH - LEFT - RIGHT) * at) / end;
  const y = (value: number): number => HEIGHT - BOTTOM - ((HEIGHT - TOP - BOTTOM) * value) / top;
  const told = `Needles over time: ${readings.length} readings in ${clockText(end)}, up to ${top} ${unit}. Each is in the transcript.`;
  return html`<figure class="chart">
    <svg viewBox="0 0 ${WIDTH} ${HEIGHT}" role="img" aria-label=${told}>
      ${[0, 0.25, 0.5, 0.75, 1].map((part) => {
        const value = top * part;
        return svg`<line class="grid" x1=${LEFT} x2=${WIDTH - RIGHT} y1=${y(value)} y2=${y(value)} /><text x=${LEFT - 6} y=${y(value) + 5} text-anchor="end">${Math.round(value)}</text>`;
      })}
      ${minutes(end).map((at) => svg`<text x=${x(at)} y=${HEIGHT - 12} text-anchor="middle">${clockText(at)}</text>`)}
      ${series.map(
        ({ circuit, points }) =>
          svg`<polyline class=${circuit} points=${points.map(({ at, value }) => `${x(at)},${y(value)}`).join(' ')} />${points.map(
            ({ at, value }) =>
              circuit === 'primary'
                ? svg`<circle class=${circuit} cx=${x(at)} cy=${y(value)} r="4.5" />`
                : svg`<rect class=${circuit} x=${x(at) - 4} y=${y(value) - 4} width="8" height="8" />`,
          )}`,
      )}
    </svg>
    <figcaption>
      <span class="key primary">● primary</span> <span class="key secondary">■ secondary, dashed</span>
      <span class="quiet">${unit} over minutes of the check</span>
    </figcaption>
  </figure>`;
}

/** A round number above the highest needle. */
function ceiling(value: number): number {
  const step = value > 300 ? 200 : 40;
  return Math.max(step, Math.ceil(value / step) * step);
}

function minutes(end: Ms): Ms[] {
  const step = Math.max(1, Math.ceil(end / 60_000 / 6)) * 60_000;
  return Array.from({ length: Math.floor(end / step) + 1 }, (_, at) => at * step);
}
