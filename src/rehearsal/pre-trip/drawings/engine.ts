import { look, spot, type Drawing } from '../drawing.ts';
import { bubbles, circle, drops, line, path, rect, threads, words } from '../shapes.ts';

const swirls = [120, 140, 160].map((y) => path(`M118 ${y}q20 -12 40 0t40 0`, 'thin'));

/** A tank with a sight glass; the dipstick of the oil is drawn the same. */
export const LEVEL: Drawing = {
  base: [
    rect(110, 32, 100, 150),
    rect(140, 12, 40, 20),
    line(210, 70, 236, 70),
    line(210, 122, 236, 122),
    words(240, 75, 'MAX'),
    words(240, 127, 'MIN'),
  ],
  spots: {
    cap: spot(130, 4, 60, 28, 'the cap'),
    surface: spot(108, 56, 104, 80, 'the glass between the two marks'),
    bottom: spot(108, 138, 104, 46, 'what is in the bottom of the glass'),
  },
  looks: {
    good: look(
      'The liquid stands midway between the MIN and MAX lines, clear and of one colour.',
      [],
      rect(112, 94, 96, 86, 'wet'),
    ),
    low: look(
      'The liquid stands a finger deep in the glass; the MIN line is well above it.',
      ['surface', 'bottom'],
      rect(112, 158, 96, 22, 'wet'),
    ),
    milky: look(
      'The liquid stands midway between the MIN and MAX lines; pale streaks run through it.',
      ['bottom', 'surface'],
      rect(112, 94, 96, 86, 'part'),
      swirls,
    ),
    empty: look(
      'The glass can be seen through from the cap to its floor; a few drops cling there.',
      ['bottom', 'surface'],
      drops(4, [130, 174], [160, 176], [186, 174]),
    ),
  },
};

const UPPER = path('M76 70L242 82', 'thick');
const LOWER = path('M76 150L242 138', 'thick');

export const BELT: Drawing = {
  base: [circle(80, 110, 40), circle(80, 110, 9, 'solid'), circle(240, 110, 28), circle(240, 110, 7, 'solid')],
  spots: {
    upper: spot(112, 48, 100, 50, 'the upper run of the belt'),
    lower: spot(112, 128, 100, 62, 'the lower run of the belt'),
    left: spot(32, 62, 78, 96, 'the large pulley'),
    right: spot(214, 72, 60, 76, 'the small pulley'),
  },
  looks: {
    good: look(
      'Both runs of the belt are straight from pulley to pulley, their edges even and dark.',
      [],
      UPPER,
      LOWER,
    ),
    frayed: look(
      'On the upper run the belt edge has threads that stand off it, and short lines go across the belt. Both runs are straight.',
      ['upper'],
      UPPER,
      LOWER,
      threads(134, 72),
      line(130, 70, 132, 80, 'thin'),
      line(180, 73, 182, 84, 'thin'),
    ),
    loose: look(
      'The lower run of the belt hangs in a curve a hand deep; the upper run waves. The edges are even.',
      ['lower', 'upper'],
      path('M76 70Q120 90 160 72T242 82', 'thick'),
      path('M76 150Q160 214 242 138', 'thick'),
    ),
  },
};

export const MOUNT: Drawing = {
  base: [rect(30, 146, 260, 18), line(50, 164, 50, 190), line(270, 164, 270, 190)],
  spots: {
    left: spot(60, 112, 56, 48, 'the left bolt'),
    right: spot(204, 104, 60, 56, 'the right bolt'),
    seam: spot(118, 120, 84, 70, 'the seam under the part'),
    body: spot(100, 34, 120, 80, 'the part itself'),
  },
  looks: {
    good: look(
      'The part sits flat on its bracket, both bolt heads are down on it, and the seam under it is dry.',
      [],
      rect(90, 40, 140, 106),
      rect(70, 132, 26, 14, 'solid'),
      rect(224, 132, 26, 14, 'solid'),
    ),
    loose: look(
      'The part stands at a slant on its bracket: on the right there is a finger of air under it, and the bolt head there stands up on bare thread.',
      ['right'],
      path('M90 40L226 22L240 128L92 146z', 'part'),
      rect(70, 132, 26, 14, 'solid'),
      rect(232, 106, 26, 14, 'solid'),
      line(245, 120, 245, 146, 'dash'),
    ),
    leaking: look(
      'The part sits flat with both bolt heads down; along the seam runs a dark film, and drops stand under it.',
      ['seam'],
      rect(90, 40, 140, 106),
      rect(70, 132, 26, 14, 'solid'),
      rect(224, 132, 26, 14, 'solid'),
      rect(122, 140, 76, 8, 'wet'),
      drops(5, [140, 180], [166, 184], [186, 178]),
    ),
  },
};

const HOSE = path('M70 110C120 40 200 170 250 90', 'thick');

export const HOSE_LINE: Drawing = {
  base: [rect(28, 94, 42, 32), rect(250, 74, 42, 32)],
  spots: {
    left: spot(46, 84, 50, 56, 'the left fitting'),
    middle: spot(116, 64, 84, 84, 'the middle, by the bracket'),
    right: spot(222, 58, 56, 62, 'the right fitting'),
  },
  looks: {
    good: look(
      'The hose runs in an even curve between its fittings, both clamps sit on its ends, and its skin is smooth and dry.',
      [],
      HOSE,
      rect(66, 92, 10, 36, 'solid'),
      rect(244, 72, 10, 36, 'solid'),
    ),
    dripping: look(
      'Under the left clamp the hose is dark and shiny, and drops hang from it. The rest is smooth.',
      ['left'],
      HOSE,
      rect(66, 92, 10, 36, 'solid'),
      rect(244, 72, 10, 36, 'solid'),
      drops(5, [72, 146], [84, 160], [70, 178]),
    ),
    bubbles: look(
      'Soapy water was brushed on: at the left fitting bubbles grow in it one after the other.',
      ['left'],
      HOSE,
      rect(66, 92, 10, 36, 'solid'),
      rect(244, 72, 10, 36, 'solid'),
      bubbles(80, 84),
    ),
    rubbed: look(
      'In the middle the hose lies against the edge of a bracket; its skin is dull and scuffed there.',
      ['middle'],
      HOSE,
      rect(66, 92, 10, 36, 'solid'),
      rect(244, 72, 10, 36, 'solid'),
      rect(152, 112, 16, 62),
      line(136, 94, 150, 108, 'thin'),
      line(144, 90, 158, 104, 'thin'),
      line(152, 90, 168, 104, 'thin'),
    ),
    threads: look(
      'In the middle a patch of the skin is gone: a weave of cords shows, and some of the cords end in the air.',
      ['middle'],
      HOSE,
      rect(66, 92, 10, 36, 'solid'),
      rect(244, 72, 10, 36, 'solid'),
      rect(142, 86, 34, 30, 'part'),
      line(142, 96, 176, 96, 'thin'),
      line(142, 106, 176, 106, 'thin'),
      line(153, 86, 153, 116, 'thin'),
      line(165, 86, 165, 116, 'thin'),
      threads(142, 88),
    ),
    slid: look(
      'The right clamp stands open, and the hose end covers only the tip of its stub.',
      ['right'],
      path('M70 110C120 40 190 170 232 100', 'thick'),
      rect(66, 92, 10, 36, 'solid'),
      line(232, 91, 250, 91, 'thin'),
      path('M236 66q-14 24 0 46', 'line'),
      line(236, 66, 252, 58, 'line'),
    ),
  },
};

const JOINTS = [circle(60, 120, 24), circle(260, 80, 24)];

export const ROD: Drawing = {
  base: [],
  spots: {
    left: spot(30, 90, 60, 60, 'the left joint'),
    rod: spot(110, 70, 100, 70, 'the rod between the joints'),
    right: spot(228, 46, 66, 68, 'the right joint'),
  },
  looks: {
    good: look(
      'A straight rod between two joints; each ball fills its cup.',
      [],
      JOINTS,
      circle(60, 120, 12, 'solid'),
      circle(260, 80, 12, 'solid'),
      path('M60 120L260 80', 'thick'),
    ),
    loose: look(
      'The rod is straight; in the right joint the ball lies at one side of its cup, with a gap of a finger at the other.',
      ['right'],
      JOINTS,
      circle(260, 80, 22, 'thin'),
      circle(60, 120, 12, 'solid'),
      circle(250, 88, 9, 'solid'),
      path('M60 120L250 88', 'thick'),
      line(272, 64, 280, 56),
      line(280, 70, 290, 66),
    ),
    bent: look(
      'The rod has a kink halfway: one half points down, the other up. Each ball fills its cup.',
      ['rod'],
      JOINTS,
      circle(60, 120, 12, 'solid'),
      circle(260, 80, 12, 'solid'),
      path('M60 120L150 128L170 72L260 80', 'thick'),
    ),
  },
};

const CASE = [
  rect(70, 70, 180, 100),
  rect(96, 54, 26, 16, 'solid'),
  rect(198, 54, 26, 16, 'solid'),
  words(100, 96, '+'),
  words(204, 96, '–'),
];

export const BATTERY: Drawing = {
  base: CASE,
  spots: {
    left: spot(80, 30, 56, 50, 'the left terminal'),
    right: spot(184, 30, 56, 50, 'the right terminal'),
    bar: spot(60, 100, 200, 50, 'the bar that holds it down'),
  },
  looks: {
    good: look(
      'Both terminals are bright metal, and the bar lies flat across the battery with both rods tight.',
      [],
      rect(60, 114, 200, 12),
      line(66, 114, 66, 180),
      line(254, 114, 254, 180),
    ),
    loose: look(
      'Both terminals are bright metal; the bar lies at a slant, one of its ends hangs free beside its rod.',
      ['bar'],
      path('M60 114L250 142L248 154L58 126z', 'part'),
      line(66, 114, 66, 180),
      line(270, 110, 270, 180),
    ),
    corroded: look(
      'The left terminal is under a crust of pale, crumbly lumps; the right one is bright metal. The bar lies flat.',
      ['left'],
      circle(98, 56, 10),
      circle(112, 46, 12),
      circle(124, 60, 9),
      circle(106, 66, 7),
      rect(60, 114, 200, 12),
      line(66, 114, 66, 180),
      line(254, 114, 254, 180),
    ),
  },
};

const LOOM = [
  path('M20 80Q100 40 160 100T300 110', 'thick'),
  rect(66, 44, 16, 34, 'solid'),
  rect(236, 112, 16, 34, 'solid'),
];

export const WIRES: Drawing = {
  base: LOOM,
  spots: {
    left: spot(50, 34, 50, 54, 'the left clip'),
    middle: spot(126, 64, 84, 78, 'the middle of the loom'),
    right: spot(220, 100, 50, 54, 'the right clip'),
  },
  looks: {
    good: look('The loom is in its cover from end to end, held by two clips.', []),
    rubbed: look(
      'In the middle, where the loom crosses a bracket, its cover is open and strands of bright copper show.',
      ['middle'],
      rect(152, 108, 18, 70),
      rect(144, 82, 34, 26, 'glow'),
      line(144, 90, 178, 90, 'thin'),
      line(144, 98, 178, 98, 'thin'),
    ),
  },
};

const PAN = [rect(70, 30, 180, 60), rect(146, 90, 28, 12, 'solid'), line(20, 180, 300, 180)];

/** Classes of a leak as firefighters tell them: wet, drops form, drops fall; common practice. */
export const GROUND: Drawing = {
  base: PAN,
  spots: {
    pan: spot(66, 24, 188, 96, 'the underside of the engine'),
    ground: spot(40, 140, 240, 56, 'the ground below'),
  },
  looks: {
    good: look('The underside of the engine is dull and clean, and nothing lies on the ground below.', []),
    wet: look(
      'A dark, shiny film covers the underside of the engine around its plug. No drop hangs from it, and nothing lies on the ground.',
      ['pan'],
      rect(110, 80, 100, 10, 'wet'),
    ),
    hanging: look(
      'Drops hang under the plug of the engine and stay there. Nothing lies on the ground.',
      ['pan'],
      rect(110, 80, 100, 10, 'wet'),
      drops(5, [134, 112], [160, 118], [184, 112]),
    ),
    falling: look(
      'Drops are on their way from the plug of the engine to the ground, where a puddle spreads.',
      ['ground', 'pan'],
      rect(110, 80, 100, 10, 'wet'),
      drops(5, [160, 116], [160, 142], [160, 166]),
      path('M100 180q60 -14 120 0z', 'wet'),
    ),
  },
};
