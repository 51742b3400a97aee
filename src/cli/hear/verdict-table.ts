import type { AppliedLimit, Figure, FigureName } from '../../judging/result.ts';
import { conditionLine } from '../../judging/wording.ts';
import type { HearReport, ReportedStep } from './hear-report.ts';
import { measuredText } from '../../units/measured.ts';

/** Columns of a plain terminal window that the table keeps to. */
const WIDTH = 100;
const STEP = 30;
const FIGURES = 32;
const LIMIT = 22;

const FIGURE_WORDS: Readonly<Record<FigureName, string>> = {
  cutOut: 'cut-out',
  cutIn: 'cut-in',
  differential: 'differential',
  primaryDrop: 'primary drop',
  secondaryDrop: 'secondary drop',
  primaryRate: 'primary rate',
  secondaryRate: 'secondary rate',
  interval: 'interval',
  warningAt: 'warning',
  activationAt: 'activation',
  buildUpTime: 'build-up',
  primary: 'primary',
  secondary: 'secondary',
  leakageFlow: 'leakage flow',
  timeToWarning: 'time to warning',
  deliveredFlow: 'delivered flow',
  deliveredShare: 'delivered share',
  buildUpRequirement: 'required build-up',
  frontTread: 'lowest front tread',
  rearTread: 'lowest rear tread',
};

/** The verdicts for people: a line per figure, the reason below, the whole check at the end. */
export function verdictTable(report: HearReport, heading: string): string {
  const rule = '─'.repeat(WIDTH);
  const unsure = report.callouts.filter((callout) => callout.unconfirmed === true).length;
  const { seconds } = report.clock;
  const missing = new Set(report.steps.flatMap((step) => step.missing ?? []));
  return [
    heading,
    rule,
    row('Step', 'Figures', 'Limit', 'Verdict'),
    rule,
    ...report.steps.flatMap(stepLines),
    rule,
    `Whole check: ${report.verdict.toUpperCase()}${seconds === null ? '' : ` in ${minutes(seconds)}`}`,
    ...(unsure === 0
      ? []
      : [
          `${unsure} ${unsure === 1 ? 'reading was' : 'readings were'} taken unconfirmed: a live check would have asked.`,
        ]),
    ...(missing.size === 0 ? [] : ['Not computed:', ...[...missing].flatMap((line) => wrap(line, 2))]),
    ...wrap(
      'Measured against the limits named above, nothing more. Local codes, the maker’s manual and licensed technicians come first.',
      0,
    ),
  ].join('\n');
}

function stepLines(step: ReportedStep): string[] {
  const figures = Object.entries(step.figures) as [FigureName, Figure][];
  // A figure with two limits takes two lines.
  const cells = figures.flatMap(([name, figure]) => {
    const [limit = '', ...more] = step.limits.filter((each) => each.figure === name).map(limitText);
    return [[`${FIGURE_WORDS[name]} ${figureText(figure)}`, limit], ...more.map((each) => ['', each])];
  });
  const [first = ['', ''], ...rest] = cells;
  return [
    row(step.title, first[0] ?? '', first[1] ?? '', step.verdict),
    ...rest.map(([figure = '', limit = '']) => row('', figure, limit, '')),
    ...wrap(step.reason, 2),
    ...(step.flags ?? []).flatMap((flag) => wrap(`Flagged: ${flag}.`, 2)),
    ...(step.conditions === undefined ? [] : wrap(`Under: ${step.conditions.map(conditionLine).join('; ')}.`, 2)),
  ];
}

function row(step: string, figures: string, limit: string, verdict: string): string {
  return `${step.padEnd(STEP)} ${figures.padEnd(FIGURES)} ${limit.padEnd(LIMIT)} ${verdict}`.trimEnd();
}

function figureText({ value, unit, uncertainty }: Figure): string {
  return `${measuredText(value, uncertainty)} ${unit}`;
}

function limitText({ min, max, strict, unit }: AppliedLimit): string {
  if (min !== undefined && max !== undefined) return `${short(min)} to ${short(max)} ${unit}`;
  if (max !== undefined) return `${strict === true ? 'less than' : 'at most'} ${short(max)} ${unit}`;
  if (min !== undefined) return `${strict === true ? 'more than' : 'at least'} ${short(min)} ${unit}`;
  return '';
}

/** At most one decimal. */
function short(value: number): string {
  return String(Math.round(value * 10) / 10);
}

function minutes(seconds: number): string {
  const whole = Math.round(seconds);
  return `${Math.floor(whole / 60)} min ${whole % 60} s`;
}

function wrap(text: string, indent: number): string[] {
  const margin = ' '.repeat(indent);
  const lines: string[] = [];
  let line = margin;
  for (const word of text.split(' ')) {
    if (line.length + 1 + word.length > WIDTH && line.trim() !== '') {
      lines.push(line);
      line = margin;
    }
    line += line.trim() === '' ? word : ` ${word}`;
  }
  return [...lines, line];
}
