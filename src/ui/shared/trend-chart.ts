import { LitElement, css, html, nothing, svg } from 'lit';
import { customElement, property } from 'lit/decorators.js';
import type { Lamp, RigTrend } from '../../audit/trends.ts';
import { baseStyles } from './base-styles.ts';
import { plainNumber } from '../../answering/written.ts';
import { verdictStyles } from './verdict-look.ts';
import { figureName } from './words.ts';

const WIDTH = 420;
const HEIGHT = 170;
const LEFT = 44;
const RIGHT = 14;
const TOP = 12;
const BOTTOM = 28;
const DAY = 86_400_000;

/** A mark and words for each lamp: none is told by colour alone. */
export const LAMP_WORDS: Readonly<
  Record<Lamp, { readonly mark: string; readonly words: string; readonly tone: string }>
> = {
  beyond: { mark: '✕', words: 'the trend is beyond the limit', tone: 'fail' },
  outside: { mark: '✕', words: 'the last check was outside the limit', tone: 'fail' },
  soon: { mark: '↗', words: 'drifting towards the limit', tone: 'marginal' },
  later: { mark: '=', words: 'no sure drift to its limit within three months', tone: 'quiet' },
  steady: { mark: '=', words: 'no drift towards a limit', tone: 'pass' },
  unknown: { mark: '–', words: 'too few checks to say', tone: 'quiet' },
};

/** One figure of a rig over its checks, with its limit, the trend and the day on which it meets the limit. */
@customElement('tn-trend-chart')
export class TrendChart extends LitElement {
  @property({ attribute: false }) trend!: RigTrend;

  static override styles = [
    baseStyles,
    verdictStyles,
    css`
      h3 {
        font-size: 1rem;
      }
      svg {
        width: 100%;
        height: auto;
        display: block;
      }
      text {
        font-size: 13px;
        fill: var(--quiet);
      }
      .grid {
        stroke: var(--hair);
        stroke-width: 0.5;
      }
      .limit {
        stroke: var(--fail);
        stroke-width: 2;
      }
      .limit-word {
        fill: var(--fail);
        font-weight: 700;
      }
      .line {
        stroke: var(--ink);
        stroke-width: 2;
        stroke-dasharray: 7 5;
      }
      .meets {
        fill: none;
        stroke: var(--ink);
        stroke-width: 2;
      }
      circle.point {
        fill: var(--accent);
      }
      .lamp {
        font-weight: 700;
      }
    `,
  ];

  override render() {
    const { title, figure, unit, trend, lamp } = this.trend;
    const { mark, words, tone } = LAMP_WORDS[lamp];
    return html`<h3>${title}, ${figureName(figure)} <span class="quiet">${unit}</span></h3>
      <p class="lamp ${tone}"><span aria-hidden="true">${mark}</span> ${words}</p>
      ${this.#chart()}
      <p>${trend.reason}</p>`;
  }

  #chart() {
    const { points, trend, min, max, unit, title, figure } = this.trend;
    const times = points.map(({ date }) => Date.parse(date));
    const first = times[0];
    const last = times.at(-1);
    if (first === undefined || last === undefined) return nothing;
    const meets = trend.kind === 'trend' && trend.meets !== undefined ? Date.parse(trend.meets.date) : undefined;
    // A meeting that is years away would press the checks into a corner.
    const near = meets !== undefined && meets - last <= 2 * Math.max(last - first, 30 * DAY) ? meets : undefined;
    const end = Math.max(near ?? last, last, first + DAY);
    const values = [
      ...points.map(({ value }) => value),
      ...(min === undefined ? [] : [min]),
      ...(max === undefined ? [] : [max]),
    ];
    const low = Math.min(...values);
    const high = Math.max(...values);
    const room = Math.max((high - low) * 0.12, 0.5);
    const floor = low < 0 ? low - room : Math.max(0, low - room);
    const x = (time: number): number => LEFT + ((WIDTH - LEFT - RIGHT) * (time - first)) / (end - first);
    const y = (value: number): number =>
      HEIGHT - BOTTOM - ((HEIGHT - TOP - BOTTOM) * (value - floor)) / (high + room - floor);
    const day = (time: number): string => new Date(time).toLocaleDateString([], { day: 'numeric', month: 'short' });
    const told = `${title}, ${figureName(figure)}: ${points.length} checks from ${day(first)} to ${day(last)}, last ${plainNumber(points.at(-1)?.value ?? 0)} ${unit}.`;
    return html`<svg viewBox="0 0 ${WIDTH} ${HEIGHT}" role="img" aria-label=${told}>
      ${[floor, (floor + high + room) / 2, high + room].map((value) => svg`<line class="grid" x1=${LEFT} x2=${WIDTH - RIGHT} y1=${y(value)} y2=${y(value)} /><text x=${LEFT - 5} y=${y(value) + 4} text-anchor="end">${plainNumber(value)}</text>`)}
      ${[min, max].map((bound) =>
        bound === undefined
          ? nothing
          : svg`<line class="limit" x1=${LEFT} x2=${WIDTH - RIGHT} y1=${y(bound)} y2=${y(bound)} /><text class="limit-word" x=${LEFT + 4} y=${y(bound) + (bound === max ? -5 : 15)}>limit ${plainNumber(bound)}</text>`,
      )}
      ${
        trend.kind === 'trend'
          ? svg`<line class="line" x1=${x(first)} y1=${y(trend.level - (trend.slope * (last - first)) / DAY)} x2=${x(end)} y2=${y(trend.level + (trend.slope * (end - last)) / DAY)} />`
          : nothing
      }
      ${points.map(({ value }, at) => svg`<circle class="point" cx=${x(times[at] ?? first)} cy=${y(value)} r="4" />`)}
      ${near === undefined || trend.kind !== 'trend' ? nothing : svg`<circle class="meets" cx=${x(near)} cy=${y(trend.level + (trend.slope * (near - last)) / DAY)} r="7" />`}
      <text x=${LEFT} y=${HEIGHT - 8}>${day(first)}</text>
      <text x=${WIDTH - RIGHT} y=${HEIGHT - 8} text-anchor="end">${day(end)}</text>
    </svg>`;
  }
}

declare global {
  interface HTMLElementTagNameMap {
    'tn-trend-chart': TrendChart;
  }
}
