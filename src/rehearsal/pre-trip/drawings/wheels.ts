import { look, spot, type Drawing } from '../drawing.ts';
import { bubbles, circle, line, path, rect, threads, words, type Shape } from '../shapes.ts';

const GROOVES = [64, 88, 112, 136].flatMap((x) => [
  line(x, 30, x, 166),
  line(x, 50, x + 12, 60, 'thin'),
  line(x, 90, x + 12, 100, 'thin'),
  line(x, 130, x + 12, 140, 'thin'),
]);
const BODY = path('M50 24h100q10 74 0 148h-100q-10 -74 0 -148z', 'part');
const depth = (read: string): readonly Shape[] => [
  rect(196, 30, 104, 50),
  words(206, 50, 'tread depth'),
  words(206, 72, read),
];
const pressure = (read: number): readonly Shape[] => [
  rect(196, 100, 104, 66),
  words(206, 122, `gauge ${read}`),
  words(206, 150, 'plate 105'),
];

/** From the front: the tread, the side, where it stands; beside it a depth gauge, and a pressure gauge with the figure of the rig's plate. */
export const TIRE: Drawing = {
  base: [line(16, 174, 184, 174)],
  spots: {
    tread: spot(54, 26, 92, 110, 'the tread and its depth'),
    side: spot(146, 30, 40, 106, 'the side of the tire'),
    foot: spot(16, 138, 168, 50, 'where it stands, and its pressure'),
  },
  looks: {
    good: look(
      'The grooves are deep and sharp, the sides whole; the depth gauge reads 9/32, the pressure gauge 103 where the plate says 105.',
      [],
      BODY,
      GROOVES,
      depth('9/32 in'),
      pressure(103),
    ),
    shallow: look(
      'The grooves are there, and the sides whole; the depth gauge reads 3/32, the pressure gauge 104 where the plate says 105.',
      ['tread'],
      BODY,
      GROOVES.filter((_, at) => at % 4 === 0),
      depth('3/32 in'),
      pressure(104),
    ),
    'very-shallow': look(
      'The grooves are fine lines, the sides whole; the depth gauge reads 1/32, the pressure gauge 104 where the plate says 105.',
      ['tread'],
      BODY,
      GROOVES.filter((_, at) => at % 4 === 0),
      depth('1/32 in'),
      pressure(104),
    ),
    smooth: look(
      'The face of the tire is smooth from side to side, no groove is left; the depth gauge reads 0/32.',
      ['tread'],
      BODY,
      depth('0/32 in'),
      pressure(103),
    ),
    slit: look(
      'The grooves are deep; in the side is a slit as long as a thumb, and threads show in it.',
      ['side'],
      BODY,
      GROOVES,
      path('M148 70q14 18 2 44', 'solid'),
      threads(138, 92),
      depth('9/32 in'),
      pressure(103),
    ),
    sunk: look(
      'The tire is spread on the ground under the rim, its sides folded outwards; the pressure gauge reads 0.',
      ['foot'],
      path('M50 24h100q-4 90 26 148h-152q30 -58 26 -148z', 'part'),
      GROOVES.filter((_, at) => at % 4 === 0),
      depth('9/32 in'),
      pressure(0),
    ),
    bulging: look(
      'The grooves are deep; the sides bulge a little above the ground, and the pressure gauge reads 70 where the plate says 105.',
      ['foot', 'side'],
      path('M50 24h100q4 90 14 148h-128q10 -58 14 -148z', 'part'),
      GROOVES,
      depth('9/32 in'),
      pressure(70),
    ),
  },
};

const HOLES = [0, 60, 120, 180, 240, 300].map((degrees) => {
  const [x, y] = [Math.cos((degrees * Math.PI) / 180) * 54, Math.sin((degrees * Math.PI) / 180) * 54];
  return circle(Math.round(160 + x), Math.round(100 + y), 10, 'thin');
});

export const RIM: Drawing = {
  base: [circle(160, 100, 92), circle(160, 100, 76), ...HOLES, circle(160, 100, 26)],
  spots: {
    upper: spot(70, 8, 180, 64, 'the upper half of the rim'),
    hub: spot(130, 74, 60, 52, 'the hub'),
    lower: spot(70, 128, 180, 64, 'the lower half of the rim'),
  },
  looks: {
    good: look(
      'The rim is round and smooth all the way, its hand holes have clean edges, and nothing lies behind it.',
      [],
    ),
    line: look(
      'From one hand hole in the upper half a jagged line runs to the edge of the rim, with rust along it.',
      ['upper'],
      path('M190 50L200 40L196 32L212 18', 'line'),
    ),
    stone: look(
      'The rim is round and smooth; in the gap behind its lower half a stone the size of a fist is wedged.',
      ['lower'],
      path('M140 178l10 -22l26 -4l14 20l-12 18l-28 2z', 'solid'),
    ),
  },
};

const STUDS: readonly (readonly [number, number])[] = [
  [160, 38],
  [204, 56],
  [222, 100],
  [204, 144],
  [160, 162],
  [116, 144],
  [98, 100],
  [116, 56],
];
const nuts = (...without: readonly number[]): readonly Shape[] =>
  STUDS.filter((_, at) => !without.includes(at)).map(([x, y]) =>
    path(`M${x - 12} ${y}l6 -11h12l6 11l-6 11h-12z`, 'solid'),
  );

export const NUTS: Drawing = {
  base: [circle(160, 100, 88), circle(160, 100, 30)],
  spots: {
    'upper-left': spot(76, 16, 80, 80, 'the nuts of the upper left quarter'),
    'upper-right': spot(164, 16, 80, 80, 'the nuts of the upper right quarter'),
    'lower-right': spot(164, 104, 80, 80, 'the nuts of the lower right quarter'),
    'lower-left': spot(76, 104, 80, 80, 'the nuts of the lower left quarter'),
  },
  looks: {
    good: look('Eight nuts sit on eight studs, all down on the rim, and the paint around them is clean.', [], nuts()),
    bare: look(
      'Seven nuts sit on eight studs; in the lower right quarter one stud is bare.',
      ['lower-right'],
      nuts(3),
      circle(204, 144, 6, 'line'),
    ),
    streaks: look(
      'Eight nuts sit on eight studs; in the upper left quarter rust streaks run out from one, and bright thread shows under it.',
      ['upper-left'],
      nuts(7),
      path('M106 48l6 -11h12l6 11l-6 11h-12z', 'solid'),
      line(112, 62, 100, 84, 'thin'),
      line(118, 62, 112, 88, 'thin'),
      line(124, 60, 126, 84, 'thin'),
      circle(118, 60, 6, 'line'),
    ),
  },
};

const LEAVES = [0, 1, 2, 3, 4].map((at) =>
  path(`M${30 + at * 22} ${60 + at * 16}Q160 ${110 + at * 16} ${290 - at * 22} ${60 + at * 16}`, 'thick'),
);
const CLAMPS = [rect(140, 68, 10, 110, 'solid'), rect(170, 68, 10, 110, 'solid')];
const BAG = [path('M214 116q-14 16 0 32q-14 16 0 30h72q14 -14 0 -30q14 -16 0 -32z', 'part'), line(208, 148, 292, 148)];

const SPRING_SPOTS = {
  left: spot(22, 40, 110, 100, 'the left half of the leaves'),
  clamps: spot(134, 62, 52, 122, 'the bolts that hold them'),
  right: spot(190, 40, 110, 68, 'the right half of the leaves'),
};
const WITHOUT_ONE = LEAVES.filter((_, at) => at !== 3);
const LEAF_BREAK = line(84, 76, 92, 96, 'line');

export const SPRING: Drawing = {
  base: CLAMPS,
  spots: SPRING_SPOTS,
  looks: {
    good: look('Five leaves lie one on the other without a gap, and the bolts hold them in line.', [], LEAVES),
    gap: look(
      'Four leaves can be counted where five belong by the tag, and there is a gap between the last two.',
      ['left', 'right', 'clamps'],
      WITHOUT_ONE,
    ),
    line: look(
      'Five leaves lie one on the other; across the upper ones on the left runs a dark line, and their ends stand a little out of line.',
      ['left'],
      LEAVES,
      LEAF_BREAK,
      line(90, 74, 98, 94, 'line'),
      path('M78 70l26 30', 'line'),
    ),
  },
};

export const REAR_SPRING: Drawing = {
  base: CLAMPS,
  spots: { ...SPRING_SPOTS, bag: spot(200, 110, 100, 74, 'the air bag') },
  looks: {
    good: look('Five leaves lie one on the other, and the air bag beside them stands round and full.', [], LEAVES, BAG),
    gap: look(
      'Four leaves can be counted where five belong by the tag, with a gap between the last two; the air bag stands round.',
      ['left', 'right', 'clamps'],
      WITHOUT_ONE,
      BAG,
    ),
    sunk: look(
      'Five leaves lie one on the other; the air bag beside them has sunk to a folded pad.',
      ['bag'],
      LEAVES,
      path('M204 164q40 -10 88 0q8 10 0 16h-88q-8 -8 0 -16z', 'part'),
      line(212, 172, 286, 172, 'thin'),
    ),
  },
};

const CHAMBER = [circle(76, 80, 48), line(76, 32, 76, 128, 'thick')];
const tag = (stroke: string): readonly Shape[] => [
  rect(190, 14, 116, 50),
  words(198, 34, `stroke ${stroke} in`),
  words(198, 56, 'limit 2 in'),
];

/** A chamber of the size 30, with the limit of 2 in on its tag: as in 49 CFR 396 Appendix A, from memory. */
export const BRAKE: Drawing = {
  base: CHAMBER,
  spots: {
    chamber: spot(24, 28, 104, 112, 'the brake chamber'),
    rod: spot(130, 66, 156, 116, 'the push rod and slack adjuster'),
  },
  looks: {
    good: look(
      'With the brake applied the push rod has come out 1 1/2 in, and its tag gives a limit of 2 in. The chamber is dry and quiet.',
      [],
      line(124, 80, 190, 80, 'thick'),
      path('M190 74L210 176', 'thick'),
      tag('1 1/2'),
    ),
    'far-out': look(
      'With the brake applied the push rod has come out 2 1/2 in, and its tag gives a limit of 2 in. The chamber is dry and quiet.',
      ['rod'],
      line(124, 80, 254, 80, 'thick'),
      path('M254 74L226 176', 'thick'),
      line(124, 102, 250, 102, 'dash'),
      tag('2 1/2'),
    ),
    bubbles: look(
      'With the brake applied the push rod has come out 1 1/2 in, and its tag gives a limit of 2 in. Soapy water makes bubbles along the band of the chamber.',
      ['chamber'],
      line(124, 80, 190, 80, 'thick'),
      path('M190 74L210 176', 'thick'),
      tag('1 1/2'),
      bubbles(80, 128),
    ),
  },
};
