import type { Item } from '../../items/item.ts';
import type { Drawing } from './drawing.ts';
import * as cab from './drawings/cab.ts';
import * as engine from './drawings/engine.ts';
import * as lights from './drawings/lights.ts';
import * as round from './drawings/round.ts';
import * as wheels from './drawings/wheels.ts';

/** How an item is drawn: in which drawing, and which of its looks shows which way of being bad. */
export interface Picture {
  readonly drawing: Drawing;
  /** By way of being bad, `defective` of the general words included; the values by `value`. */
  readonly shows: Readonly<Record<string, string>>;
  /** What the gauge in the look of `value` reads, in the unit of the item's measure. */
  readonly value?: number;
}

const level = { drawing: engine.LEVEL, shows: { low: 'low' } };
const belt = { drawing: engine.BELT, shows: { frayed: 'frayed', loose: 'loose' } };
const fitted = { drawing: engine.MOUNT, shows: { loose: 'loose' } };
const machine = { drawing: engine.MOUNT, shows: { loose: 'loose', leaking: 'leaking' } };
const sounder = { drawing: cab.SOUNDER, shows: { inoperative: 'silent' } };
const door = { drawing: round.DOOR, shows: { 'will-not-latch': 'ajar' } };
const compartment = { drawing: round.COMPARTMENT, shows: { 'will-not-latch': 'open', loose: 'tilted' } };
const sides = { flat: 'sunk', cut: 'slit', bald: 'smooth', low: 'bulging' };
const frontTire = { drawing: wheels.TIRE, shows: { ...sides, value: 'shallow' }, value: 3 };
const rearTire = { drawing: wheels.TIRE, shows: { ...sides, value: 'very-shallow' }, value: 1 };
const frontRim = { drawing: wheels.RIM, shows: { cracked: 'line' } };
const rearRim = { drawing: wheels.RIM, shows: { cracked: 'line', object: 'stone' } };
const nuts = { drawing: wheels.NUTS, shows: { missing: 'bare', loose: 'streaks' } };
const spring = { drawing: wheels.SPRING, shows: { 'leaf-missing': 'gap', cracked: 'line' } };
const brake = { drawing: wheels.BRAKE, shows: { 'too-long': 'far-out', leaking: 'bubbles' } };
const pair = { drawing: lights.LAMPS, shows: { 'one-out': 'one', 'both-out': 'all' } };
const lampsOut = { drawing: lights.LAMPS, shows: { out: 'all', defective: 'lens' } };
const signal = { drawing: lights.SIGNAL, shows: { out: 'all', defective: 'lens' } };
const along = { drawing: lights.LAMP_ROW, shows: { out: 'all', defective: 'lens' } };

/** Every item of the walk, by its id. */
const PICTURES: Readonly<Record<string, Picture>> = {
  oil: { drawing: engine.LEVEL, shows: { low: 'low', milky: 'milky' } },
  coolant: level,
  'steering-fluid': level,
  'washer-fluid': { drawing: engine.LEVEL, shows: { empty: 'empty' } },
  belts: belt,
  'compressor-belt': belt,
  compressor: machine,
  hoses: { drawing: engine.HOSE_LINE, shows: { leaking: 'dripping', chafed: 'rubbed', defective: 'slid' } },
  'air-lines': {
    drawing: engine.HOSE_LINE,
    shows: { leaking: 'bubbles', chafed: 'rubbed', 'worn-through': 'threads' },
  },
  'steering-box': machine,
  linkage: { drawing: engine.ROD, shows: { loose: 'loose', bent: 'bent' } },
  batteries: { drawing: engine.BATTERY, shows: { loose: 'loose', corroded: 'corroded' } },
  wiring: { drawing: engine.WIRES, shows: { chafed: 'rubbed' } },
  'fluid-leaks': {
    drawing: engine.GROUND,
    shows: { 'class-one': 'wet', 'class-two': 'hanging', 'class-three': 'falling' },
  },
  seat: { drawing: cab.SEAT, shows: { loose: 'slid' } },
  'seat-belts': { drawing: cab.SEAT_BELT, shows: { 'will-not-latch': 'out', cut: 'notched' } },
  'steering-wheel': { drawing: cab.STEERING_WHEEL, shows: { loose: 'wide', binding: 'stopped' } },
  horn: sounder,
  wipers: { drawing: cab.WIPERS, shows: { inoperative: 'still', torn: 'hanging' } },
  defroster: { drawing: cab.DEFROSTER, shows: { inoperative: 'misted' } },
  windshield: { drawing: cab.WINDSHIELD, shows: { cracked: 'line', 'no-view': 'web' } },
  mirrors: { drawing: cab.MIRROR, shows: { cracked: 'line', loose: 'drooping' } },
  gauges: { drawing: cab.GAUGES, shows: { dead: 'stopped' } },
  'warning-lamps': { drawing: cab.DASH_LAMPS, shows: { 'lamp-lit': 'glowing' } },
  pedals: { drawing: cab.PEDALS, shows: { sticking: 'down' } },
  doors: door,
  extinguisher: { drawing: cab.EXTINGUISHER, shows: { missing: 'gone', discharged: 'flat' } },
  triangles: { drawing: cab.TRIANGLES, shows: { missing: 'two' } },
  radio: sounder,
  'left-front-tire': frontTire,
  'right-front-tire': frontTire,
  'left-rear-tire': rearTire,
  'right-rear-tire': rearTire,
  'left-front-rim': frontRim,
  'right-front-rim': frontRim,
  'left-rear-rims': rearRim,
  'right-rear-rims': rearRim,
  'left-front-nuts': nuts,
  'right-front-nuts': nuts,
  'left-rear-nuts': nuts,
  'right-rear-nuts': nuts,
  'left-front-spring': spring,
  'right-front-spring': spring,
  'left-front-brake': brake,
  'right-front-brake': brake,
  'left-rear-brakes': brake,
  'right-rear-brakes': brake,
  'left-compartments': compartment,
  'right-compartments': compartment,
  fuel: { drawing: round.FUEL_TANK, shows: { dripping: 'dripping' } },
  'fuel-cap': { drawing: round.FUEL_CAP, shows: { missing: 'off' } },
  frame: { drawing: round.FRAME, shows: { cracked: 'line', shifted: 'stepped' } },
  exhaust: { drawing: round.EXHAUST, shows: { leaking: 'sooty', loose: 'drooping' } },
  bumper: fitted,
  'tow-eyes': fitted,
  radiator: { drawing: round.RADIATOR, shows: { leaking: 'dripping' } },
  'cab-lock': { drawing: round.DOOR, shows: { open: 'ajar' } },
  plate: { drawing: round.PLATE, shows: { missing: 'gone' } },
  'rear-springs': { drawing: wheels.REAR_SPRING, shows: { 'leaf-missing': 'gap', 'bag-flat': 'sunk' } },
  'drive-shaft': { drawing: round.SHAFT, shows: { loose: 'gap' } },
  'air-tanks': { drawing: round.AIR_TANK, shows: { leaking: 'bubbles', loose: 'tilted' } },
  'air-tank-straps': { drawing: round.AIR_TANK, shows: { loose: 'slack-strap' } },
  reflectors: { drawing: round.REFLECTORS, shows: { missing: 'gone' } },
  'mud-flaps': { drawing: round.MUD_FLAPS, shows: { missing: 'half' } },
  tailboard: fitted,
  'rear-ladders': fitted,
  headlights: pair,
  'high-beams': lampsOut,
  'left-signal': signal,
  'right-signal': signal,
  hazards: lampsOut,
  'brake-lights': pair,
  'tail-lights': lampsOut,
  'marker-lights': along,
  backup: sounder,
  'backup-light': { drawing: lights.LAMPS, shows: { inoperative: 'all', defective: 'lens' } },
  'warning-lights': { drawing: lights.LAMP_ROW, shows: { 'one-out': 'one', 'more-out': 'four' } },
  siren: sounder,
};

/** How the item is drawn; undefined for one that has no drawing, as a department's own item has none. */
export function pictureOf({ id }: Pick<Item, 'id'>): Picture | undefined {
  return PICTURES[id];
}
