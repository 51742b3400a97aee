import type { AirEventKind } from '../../airsystem/air.ts';
import type { Cab } from '../../rehearsal/cab.ts';
import type { Ms } from '../../units/time.ts';

/** How long a short sound stays to be seen. */
const LINGERS: Ms = 3_000;

const SOUNDS: Readonly<Partial<Record<AirEventKind, string>>> = {
  'dryer-purge': 'Hiss of the air dryer',
  'valve-popped': 'Clack: the parking valve is out',
};

/** What is heard and felt in the cab now, besides the needles: no more than a real cab gives. */
export function senses({ air, happened, at }: Cab): readonly string[] {
  const fresh = happened
    .filter((event) => event.at > at - LINGERS)
    .flatMap(({ kind }) => SOUNDS[kind] ?? [])
    .filter((words, index, all) => all.indexOf(words) === index);
  return [...(air.buzzer ? ['Low-air buzzer and light'] : []), ...(air.moving ? ['The rig moves'] : []), ...fresh];
}
