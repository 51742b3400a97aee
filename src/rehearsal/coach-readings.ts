import { dial } from '../airsystem/gauges.ts';
import { pressureIn } from '../units/pressure.ts';
import type { Pressure, PressureUnit } from '../units/pressure.ts';
import type { Ms } from '../units/time.ts';
import type { CalledReading } from '../check/state.ts';
import type { Finding } from './finding.ts';
import type { Play, PlayedStep } from './play.ts';
import { curveOf, findingIn } from './play.ts';

/** A needle is read a little before it is called. */
const READ_BEFORE: Ms = 1_000;
/** The needles are to be called this soon after the moment they belong to. Ours, no source. */
const READ_AFTER: Ms = 8_000;
/** Relative; marks of a kPa dial do not add up exactly. */
const BINARY_NOISE = 1e-9;
const CIRCUITS = ['primary', 'secondary'] as const;

/** The needles as they were called, against the needles while they were called. */
export function coachReadings(play: Play): Finding[] {
  return play.steps.flatMap((played) => [
    ...played.progress.readings.flatMap((reading) =>
      played.step.kind === 'build' && isBoth(reading) ? mark(play, played, reading) : needles(play, played, reading),
    ),
    ...afterItsMoment(play, played),
  ]);
}

interface Range {
  readonly min: number;
  readonly max: number;
}

/** What could be read of a needle, in `unit`, from just before the words to their end: to the nearest mark of the dial. */
function range(
  play: Play,
  { start, end }: CalledReading,
  unit: PressureUnit,
  of: 'lower' | 'primary' | 'secondary',
): Range {
  const shown = curveOf(play.cab, start - READ_BEFORE, end).map((needles) => {
    const read = dial({ ...play.cab.air, needles });
    const [primary, secondary] = [pressureIn(read.primary, unit), pressureIn(read.secondary, unit)];
    return of === 'lower' ? Math.min(primary, secondary) : of === 'primary' ? primary : secondary;
  });
  return { min: Math.min(...shown), max: Math.max(...shown) };
}

/** Distance of a called value to what could be read, when it is more than one mark of the dial; negative when called too low. */
function error(play: Play, { value, unit }: Pressure, { min, max }: Range): number | undefined {
  const { gauge } = play.cab.air.rig;
  const resolution = pressureIn({ value: gauge.resolution, unit: gauge.unit }, unit);
  const off = value > max ? value - max : value < min ? value - min : 0;
  return Math.abs(off) > resolution * (1 + BINARY_NOISE) ? off : undefined;
}

function needles(play: Play, played: PlayedStep, reading: CalledReading): Finding[] {
  const wrong = CIRCUITS.flatMap((circuit) => {
    const called = reading[circuit];
    if (called === undefined) return [];
    const stood = range(play, reading, called.unit, circuit);
    return error(play, called, stood) === undefined
      ? []
      : [`${circuit} was called ${called.value} ${called.unit}, and the needle stood at ${span(stood)}`];
  });
  if (wrong.length === 0) return [];
  return [findingIn(play, 'wrong-reading', played, reading.start, `${capital(wrong.join('; '))}.`)];
}

/** "Both at 85" is the moment at which the lower needle gets there. */
function mark(play: Play, played: PlayedStep, reading: CalledReading): Finding[] {
  const called = reading.primary;
  if (called === undefined) return [];
  const stood = range(play, reading, called.unit, 'lower');
  const off = error(play, called, stood);
  if (off === undefined) return [];
  const what = `Both at ${called.value} ${called.unit} was called ${off < 0 ? 'late' : 'early'}: the lower needle stood at ${span(stood)}.`;
  return [findingIn(play, off < 0 ? 'late' : 'early', played, reading.start, what)];
}

function isBoth({ primary, secondary }: CalledReading): boolean {
  return primary !== undefined && primary.value === secondary?.value;
}

function afterItsMoment(play: Play, played: PlayedStep): Finding[] {
  const { outcome, readings } = played.progress;
  const [reading] = readings;
  if (played.step.kind !== 'event' || outcome === undefined || reading === undefined) return [];
  const wait = reading.start - outcome.at;
  if (wait <= READ_AFTER) return [];
  return [
    findingIn(
      play,
      'late',
      played,
      reading.start,
      `The needles were called ${Math.round(wait / 1000)} s after the moment they belong to.`,
    ),
  ];
}

function span({ min, max }: Range): string {
  const [low, high] = [Math.round(min), Math.round(max)];
  return low === high ? String(low) : `${low} to ${high}`;
}

function capital(text: string): string {
  return text.charAt(0).toUpperCase() + text.slice(1);
}
