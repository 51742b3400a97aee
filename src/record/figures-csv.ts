import type { Judged, Result } from './judged.ts';
import type { LogFile } from './log.ts';

type FigureName = keyof Result['figures'];
type Item = NonNullable<Result['items']>[number];
type Cell = string | number | undefined;

const COLUMNS = [
  'check',
  'started',
  'rig',
  'operator',
  'plan',
  'profile',
  'step',
  'verdict',
  'figure',
  'value',
  'unit',
  'uncertainty',
  'min',
  'max',
  'limit unit',
  'source',
  'reason',
] as const;

/** The first line of `figuresCsv`, and of one table over many checks. */
export const CSV_HEADER = `${COLUMNS.join(',')}\r\n`;

/** One line (RFC 4180) per figure of each step, or per step that has none; without the header. */
export function figureRows(log: LogFile, { state, view }: Judged): string {
  const { start } = state;
  const check = [log.header.check, start.wall, start.rig.name, start.operator, start.plan.title, start.profile.title];
  const rows = view.results.flatMap(({ title, result }) => {
    const step = [...check, title, result.verdict];
    const figures = Object.entries(result.figures);
    const items = (result.items ?? []).map((item) => itemRow([...check, title], item));
    if (figures.length === 0) return [[...step, ...Array<Cell>(8).fill(undefined), result.reason], ...items];
    const measured = figures.map(([name, { value, unit, uncertainty }]) => [
      ...step,
      name,
      value,
      unit,
      uncertainty,
      ...limitCells(result, name as FigureName),
      result.reason,
    ]);
    return [...measured, ...items];
  });
  return rows.map(csvLine).join('');
}

/** A line of a table (RFC 4180); a cell without a value is empty. */
export function csvLine(cells: readonly Cell[]): string {
  return `${cells.map(cell).join(',')}\r\n`;
}

/** An item: its class or state as the verdict, its title as the figure. */
function itemRow(step: readonly Cell[], { class: isClass, state, title, value, source, words }: Item): Cell[] {
  const from =
    source === undefined ? undefined : [source.document, source.section].filter((part) => part !== undefined);
  return [
    ...[...step, isClass ?? state, title, value?.value, value?.unit],
    ...Array<Cell>(4).fill(undefined),
    from?.join(' '),
    words ?? state,
  ];
}

/** The strictest of a figure's limits on each side, with where it comes from. */
function limitCells({ limits }: Result, name: FigureName): Cell[] {
  const applied = limits.filter(({ figure }) => figure === name);
  const mins = applied.flatMap(({ min }) => min ?? []);
  const maxes = applied.flatMap(({ max }) => max ?? []);
  return [
    mins.length === 0 ? undefined : Math.max(...mins),
    maxes.length === 0 ? undefined : Math.min(...maxes),
    applied[0]?.unit,
    [
      ...new Set(
        applied.map(({ source }) => [source.document, source.section].filter((part) => part !== undefined).join(' ')),
      ),
    ].join('; '),
  ];
}

/** Text that a spreadsheet would take for a formula gets an apostrophe before it. */
function cell(value: Cell): string {
  if (value === undefined) return '';
  if (typeof value === 'number') return String(value);
  const text = /^[=+\-@\t\r]/.test(value) ? `'${value}` : value;
  return /[",\r\n]/.test(text) ? `"${text.replaceAll('"', '""')}"` : text;
}
