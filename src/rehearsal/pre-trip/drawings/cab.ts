import { look, spot, type Drawing } from '../drawing.ts';
import { circle, line, path, rays, rect, threads, words } from '../shapes.ts';

export const SEAT: Drawing = {
  base: [rect(60, 156, 210, 10), ...[90, 130, 170, 210, 250].map((x) => circle(x, 161, 4, 'solid'))],
  spots: {
    back: spot(70, 14, 60, 90, 'the backrest'),
    cushion: spot(132, 76, 100, 56, 'the cushion'),
    lock: spot(80, 134, 190, 50, 'the rail with its lock'),
  },
  looks: {
    good: look(
      'The lock of the seat stands in a hole of the rail, and both feet are on the rail.',
      [],
      path('M90 110L78 24h26L124 104h106v26h-130z', 'part'),
      line(120, 130, 120, 156),
      line(212, 130, 212, 156),
      rect(164, 130, 12, 32, 'solid'),
    ),
    slid: look(
      'The lock of the seat hangs between two holes of the rail, and the front foot stands above it.',
      ['lock'],
      path('M90 98L78 12h26L124 100h106v26h-130z', 'part'),
      line(120, 126, 120, 156),
      line(212, 126, 212, 142),
      rect(186, 126, 10, 26, 'solid'),
      path('M40 60h-16m0 0l8 -8m-8 8l8 8', 'line'),
    ),
  },
};

export const SEAT_BELT: Drawing = {
  base: [rect(196, 110, 46, 74), rect(208, 120, 22, 12, 'solid')],
  spots: {
    strap: spot(30, 20, 110, 90, 'the strap'),
    buckle: spot(180, 70, 80, 118, 'the buckle'),
  },
  looks: {
    good: look(
      'The tongue is in the buckle up to its shoulder, and both edges of the strap are straight.',
      [],
      path('M20 20L40 10L220 92L200 104z', 'part'),
      rect(200, 96, 38, 16, 'solid'),
    ),
    out: look(
      'Pushed home, the tongue comes up again and stands a finger above the buckle. Both edges of the strap are straight.',
      ['buckle'],
      path('M20 20L40 10L212 66L194 78z', 'part'),
      rect(200, 70, 38, 16, 'solid'),
      rect(212, 86, 14, 14, 'part'),
    ),
    notched: look(
      'The tongue is in the buckle; a notch goes into one edge of the strap, and its threads stand out.',
      ['strap'],
      path('M20 20L40 10L92 34L84 54L104 40L220 92L200 104z', 'part'),
      threads(80, 40),
      rect(200, 96, 38, 16, 'solid'),
    ),
  },
};

const RIM = [
  circle(160, 100, 70),
  circle(160, 100, 56),
  circle(160, 100, 16, 'solid'),
  line(104, 100, 144, 100),
  line(176, 100, 216, 100),
  line(160, 116, 160, 156),
];

export const STEERING_WHEEL: Drawing = {
  base: RIM,
  spots: {
    rim: spot(76, 14, 168, 60, 'the top of the rim and how far it goes'),
    hub: spot(130, 78, 60, 50, 'the column and hub'),
  },
  looks: {
    good: look(
      'Rocked by hand, the rim goes two fingers before the front wheels follow, and from stop to stop without a catch.',
      [],
      path('M148 20a80 80 0 0 1 24 0', 'line'),
      words(20, 190, 'turns stop to stop'),
    ),
    wide: look(
      'Rocked by hand, the rim goes an arm’s length, from ten to two o’clock, before the front wheels follow.',
      ['rim', 'hub'],
      path('M96 50a80 80 0 0 1 128 0', 'line'),
      line(96, 50, 94, 36),
      line(224, 50, 226, 36),
      words(20, 190, 'turns stop to stop'),
    ),
    stopped: look(
      'The rim goes two fingers before the front wheels follow, and catches at a quarter turn, each time at the same place.',
      ['hub', 'rim'],
      path('M148 20a80 80 0 0 1 24 0', 'line'),
      path('M240 100a80 80 0 0 0 -24 -57', 'dash'),
      line(232, 92, 252, 92),
      words(20, 190, 'stops at a quarter turn'),
    ),
  },
};

/** Whatever is to sound: the button that is pressed, and its mouth. */
export const SOUNDER: Drawing = {
  base: [
    rect(36, 96, 56, 56),
    circle(64, 118, 16, 'solid'),
    words(30, 176, 'pressed'),
    path('M150 108h24l34 -28v92l-34 -28h-24z', 'part'),
    line(92, 124, 150, 124, 'dash'),
  ],
  spots: {
    button: spot(28, 88, 74, 96, 'the button'),
    mouth: spot(144, 60, 150, 124, 'where the sound comes from'),
  },
  looks: {
    good: look(
      'The button is held down, and sound comes in waves from the mouth.',
      [],
      path('M222 106a28 28 0 0 1 0 40', 'line'),
      path('M240 92a50 50 0 0 1 0 68', 'line'),
      path('M258 78a72 72 0 0 1 0 96', 'line'),
    ),
    silent: look(
      'The button is held down, and no sound at all comes from the mouth.',
      ['mouth', 'button'],
      words(226, 130, 'no sound'),
    ),
  },
};

const PANE = path('M20 30Q160 10 300 30L312 168H8z', 'part');
const RAIN = [60, 100, 140, 180, 220, 260].map((x, step) =>
  line(x, 40 + (step % 3) * 12, x - 4, 54 + (step % 3) * 12, 'thin'),
);

export const WIPERS: Drawing = {
  base: [PANE, ...RAIN],
  spots: {
    left: spot(30, 60, 120, 116, 'the left blade'),
    right: spot(170, 60, 120, 116, 'the right blade'),
  },
  looks: {
    good: look(
      'The switch is on; both blades have swept the glass clear in a wide arc.',
      [],
      line(90, 168, 130, 80, 'thick'),
      line(220, 168, 260, 80, 'thick'),
      path('M40 130A90 90 0 0 1 140 80', 'dash'),
      path('M170 130A90 90 0 0 1 270 80', 'dash'),
    ),
    still: look(
      'The switch is on; both blades lie at the foot of the glass, and rain stands on all of it.',
      ['left', 'right'],
      line(40, 164, 140, 164, 'thick'),
      line(170, 164, 280, 164, 'thick'),
      RAIN.map((shape) => shape),
      words(112, 190, 'switch on'),
    ),
    hanging: look(
      'Both blades sweep; from the right one a strip of rubber hangs, and it leaves a streak of water.',
      ['right'],
      line(90, 168, 130, 80, 'thick'),
      line(220, 168, 260, 80, 'thick'),
      path('M250 100q22 12 12 44', 'line'),
      path('M186 130A90 90 0 0 1 244 100', 'line'),
    ),
  },
};

const FOG = [44, 62, 80, 98, 116].map((y) => path(`M24 ${y}q22 -8 44 0t44 0t44 0t44 0t44 0t44 0`, 'thin'));

export const DEFROSTER: Drawing = {
  base: [PANE, rect(90, 150, 140, 12, 'solid')],
  spots: {
    glass: spot(16, 26, 288, 108, 'the glass'),
    vents: spot(80, 138, 160, 34, 'the vents below it'),
  },
  looks: {
    good: look(
      'The blower is on; above the vents the glass is clear, with mist only at its upper corners.',
      [],
      FOG.slice(0, 1),
      path('M70 140Q160 20 250 140', 'dash'),
      words(120, 190, 'blower on'),
    ),
    misted: look(
      'The blower is on; mist lies on the whole glass, down to the vents.',
      ['glass', 'vents'],
      FOG,
      words(120, 190, 'blower on'),
    ),
  },
};

const SEATED = [PANE, circle(86, 150, 26, 'line'), words(46, 192, 'driver')];

export const WINDSHIELD: Drawing = {
  base: SEATED,
  spots: {
    driver: spot(18, 30, 138, 120, 'the glass before the driver'),
    other: spot(164, 30, 138, 120, 'the glass before the officer'),
  },
  looks: {
    good: look('The glass is clean, and nothing breaks the view through it.', []),
    line: look(
      'From the lower corner on the officer’s side a thin line runs a foot into the glass. Before the driver it is clear.',
      ['other'],
      path('M300 150L270 126L258 130L236 100L222 104', 'line'),
    ),
    web: look(
      'Before the driver lines run out from one point like a web, and the road cannot be made out through them.',
      ['driver'],
      rays(86, 90, 6),
      rays(86, 90, 22),
      circle(86, 90, 20, 'thin'),
      circle(86, 90, 38, 'thin'),
      line(86, 90, 30, 50),
      line(86, 90, 140, 56),
      line(86, 90, 36, 130),
      line(86, 90, 144, 128),
    ),
  },
};

export const MIRROR: Drawing = {
  base: [line(20, 20, 20, 180, 'thick')],
  spots: {
    arm: spot(14, 60, 96, 76, 'the arm and its joint'),
    glass: spot(120, 20, 110, 160, 'the mirror glass'),
  },
  looks: {
    good: look(
      'The head stands straight on its arm, and the glass shows the side of the rig in one piece.',
      [],
      line(20, 96, 120, 96, 'thick'),
      rect(120, 24, 100, 150),
      rect(130, 34, 80, 130),
      path('M150 164L172 60H210', 'thin'),
    ),
    line: look(
      'The head stands straight on its arm; a jagged line parts the glass in two, and the picture jumps there.',
      ['glass'],
      line(20, 96, 120, 96, 'thick'),
      rect(120, 24, 100, 150),
      rect(130, 34, 80, 130),
      path('M130 70L160 84L156 100L188 112L210 146', 'line'),
    ),
    drooping: look(
      'The glass is in one piece; the head droops from the joint of its arm, and a bolt there stands out.',
      ['arm'],
      line(20, 96, 100, 96, 'thick'),
      circle(104, 96, 8, 'line'),
      line(104, 78, 104, 88),
      path('M116 60L206 94L156 196L76 160z', 'part'),
      path('M122 74L194 100L152 184L90 156z', 'part'),
    ),
  },
};

const DIALS = [
  circle(90, 100, 60),
  circle(230, 100, 60),
  words(74, 140, 'PSI'),
  words(212, 140, 'OIL'),
  words(96, 188, 'engine running'),
];

export const GAUGES: Drawing = {
  base: DIALS,
  spots: {
    left: spot(28, 38, 124, 124, 'the left gauge'),
    right: spot(168, 38, 124, 124, 'the right gauge'),
  },
  looks: {
    good: look(
      'With the engine running both needles stand in the middle of their scales.',
      [],
      line(90, 100, 100, 50),
      line(230, 100, 236, 50),
    ),
    stopped: look(
      'With the engine running the left needle stands in the middle of its scale, the right one on its pin at zero.',
      ['right'],
      line(90, 100, 100, 50),
      line(230, 100, 186, 124),
      circle(184, 125, 4, 'solid'),
    ),
  },
};

const LAMP_AT = [60, 130, 200, 270];

export const DASH_LAMPS: Drawing = {
  base: [rect(16, 60, 290, 80), ...LAMP_AT.map((x) => circle(x, 100, 24)), words(96, 180, 'engine running')],
  spots: Object.fromEntries(
    LAMP_AT.map((x, index) => [`lamp-${index + 1}`, spot(x - 30, 66, 60, 68, `lamp ${index + 1} of the panel`)]),
  ),
  looks: {
    good: look('With the engine running, all four lamps of the panel are dark.', []),
    glowing: look(
      'With the engine running, lamp 3 of the panel glows; the other three are dark.',
      ['lamp-3'],
      circle(200, 100, 24, 'glow'),
      rays(200, 100, 24),
    ),
  },
};

const FLOOR = [line(20, 176, 300, 176), line(60, 30, 60, 176, 'thin')];

export const PEDALS: Drawing = {
  base: [...FLOOR, path('M236 176L262 96l22 6L262 176z', 'part'), words(100, 194, 'no foot on them')],
  spots: {
    brake: spot(60, 50, 130, 126, 'the brake pedal'),
    other: spot(216, 84, 84, 96, 'the other pedal'),
  },
  looks: {
    good: look(
      'With no foot on them, both pedals have come all the way up.',
      [],
      path('M80 170L120 76l30 10', 'thick'),
      rect(116, 64, 50, 16, 'solid'),
    ),
    down: look(
      'With no foot on them, one pedal is up; the brake pedal lies a hand below it and stays there.',
      ['brake'],
      path('M80 174L140 144l30 6', 'thick'),
      rect(136, 130, 50, 16, 'solid'),
      path('M120 76l30 10', 'dash'),
    ),
  },
};

export const EXTINGUISHER: Drawing = {
  base: [rect(96, 20, 20, 164), rect(96, 84, 110, 12, 'solid')],
  spots: {
    bracket: spot(90, 74, 130, 108, 'the bracket and what is in it'),
    gauge: spot(216, 14, 96, 92, 'the gauge at its neck'),
  },
  looks: {
    good: look(
      'A bottle stands in the bracket under its strap; the needle of its gauge points into the marked field.',
      [],
      rect(126, 62, 66, 120),
      rect(146, 40, 26, 22, 'solid'),
      circle(264, 58, 38),
      path('M242 40a30 30 0 0 1 44 0', 'line'),
      line(264, 58, 264, 30),
    ),
    gone: look(
      'The strap of the bracket hangs down, and there is only the wall behind it.',
      ['bracket'],
      path('M206 90q16 40 4 70', 'line'),
    ),
    flat: look(
      'A bottle stands in the bracket under its strap; the needle of its gauge lies at the end of the scale, left of the marked field.',
      ['gauge'],
      rect(126, 62, 66, 120),
      rect(146, 40, 26, 22, 'solid'),
      circle(264, 58, 38),
      path('M242 40a30 30 0 0 1 44 0', 'line'),
      line(264, 58, 234, 74),
    ),
  },
};

const triangle = (x: number) => [path(`M${x} 140l34 -70l34 70z`, 'part'), path(`M${x + 16} 130l18 -38l18 38z`, 'line')];

export const TRIANGLES: Drawing = {
  base: [rect(20, 50, 280, 110, 'line')],
  spots: {
    first: spot(26, 56, 84, 98, 'the first slot of the box'),
    second: spot(116, 56, 84, 98, 'the second slot of the box'),
    third: spot(206, 56, 84, 98, 'the third slot of the box'),
  },
  looks: {
    good: look(
      'The box has three warning triangles in its three slots.',
      [],
      triangle(34),
      triangle(124),
      triangle(214),
    ),
    two: look(
      'The box has warning triangles in its first and second slots; in the third there is its lining.',
      ['third'],
      triangle(34),
      triangle(124),
      path('M214 140l34 -70l34 70z', 'dash'),
    ),
  },
};
