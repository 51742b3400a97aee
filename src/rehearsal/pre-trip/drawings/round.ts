import { look, spot, type Drawing } from '../drawing.ts';
import { bubbles, circle, drops, line, path, rect, words } from '../shapes.ts';

const SHELF = [rect(30, 24, 170, 154), line(30, 126, 200, 126)];
const STRAP = line(36, 96, 194, 96, 'thick');

export const COMPARTMENT: Drawing = {
  base: SHELF,
  spots: {
    shelf: spot(30, 40, 168, 134, 'what stands on the shelves'),
    latch: spot(202, 70, 108, 66, 'the door and its latch'),
  },
  looks: {
    good: look(
      'Two boxes stand on the shelf behind their strap; the door leaf meets the frame, its hook in the keeper.',
      [],
      rect(48, 72, 56, 54),
      rect(118, 72, 56, 54),
      STRAP,
      rect(204, 20, 90, 160),
      rect(206, 92, 26, 14, 'solid'),
    ),
    open: look(
      'Two boxes stand on the shelf behind their strap; the door leaf stands a hand off the frame, its hook beside the keeper.',
      ['latch'],
      rect(48, 72, 56, 54),
      rect(118, 72, 56, 54),
      STRAP,
      path('M230 14L308 34V186L230 170z', 'part'),
      rect(226, 110, 22, 12, 'solid'),
      rect(202, 92, 10, 14, 'line'),
    ),
    tilted: look(
      'One box stands behind the strap, the other lies on its edge over the front of the shelf. The door leaf meets the frame.',
      ['shelf'],
      rect(48, 72, 56, 54),
      path('M132 110L180 92L196 140L148 158z', 'part'),
      line(36, 96, 110, 96, 'thick'),
      rect(204, 20, 90, 160),
      rect(206, 92, 26, 14, 'solid'),
    ),
  },
};

export const DOOR: Drawing = {
  base: [rect(40, 14, 240, 172, 'line')],
  spots: {
    latch: spot(196, 80, 90, 60, 'the latch side'),
    hinge: spot(40, 30, 60, 140, 'the hinge side'),
  },
  looks: {
    good: look(
      'The leaf lies flush in its frame on all sides, and the bolt is in its keeper.',
      [],
      rect(46, 20, 228, 160),
      rect(240, 96, 34, 18, 'solid'),
    ),
    ajar: look(
      'Pushed to, the leaf comes back: on one side there is a hand of air between it and the frame, and the bolt is beside its keeper.',
      ['latch'],
      path('M46 20L236 34V166L46 180z', 'part'),
      rect(206, 96, 30, 18, 'solid'),
      rect(268, 96, 12, 18, 'line'),
    ),
  },
};

export const FUEL_TANK: Drawing = {
  base: [
    rect(40, 50, 240, 100),
    rect(84, 44, 14, 112, 'solid'),
    rect(222, 44, 14, 112, 'solid'),
    rect(140, 30, 40, 20),
    line(20, 186, 300, 186, 'thin'),
  ],
  spots: {
    neck: spot(126, 20, 70, 36, 'the neck'),
    straps: spot(76, 58, 168, 60, 'the tank between its straps'),
    seam: spot(96, 124, 128, 62, 'the lower seam'),
  },
  looks: {
    good: look('The tank lies in both straps, its lower seam and the ground below are dry.', []),
    dripping: look(
      'The tank lies in both straps; along the lower seam stands a wet line, drops fall from it, and it smells of diesel.',
      ['seam'],
      line(110, 150, 200, 150, 'thick'),
      drops(5, [140, 172], [160, 180], [178, 170]),
    ),
  },
};

export const FUEL_CAP: Drawing = {
  base: [rect(60, 90, 200, 96), rect(130, 60, 60, 30)],
  spots: {
    neck: spot(116, 26, 90, 66, 'the filler neck'),
    tank: spot(62, 96, 196, 88, 'the tank below it'),
  },
  looks: {
    good: look(
      'A cap is screwed down on the filler neck, its chain hangs beside it.',
      [],
      rect(122, 40, 76, 24, 'solid'),
      path('M198 54q24 16 12 50', 'thin'),
    ),
    off: look(
      'One can look down into the filler neck; a chain with nothing on it hangs beside it.',
      ['neck'],
      path('M134 60q26 14 52 0', 'line'),
      path('M190 70q24 16 12 50', 'thin'),
    ),
  },
};

const HOLE = circle(160, 104, 9);

export const FRAME: Drawing = {
  base: [],
  spots: {
    left: spot(16, 66, 90, 70, 'the left part of the rail'),
    middle: spot(116, 56, 90, 90, 'the middle of the rail'),
    right: spot(214, 56, 92, 90, 'the right part of the rail'),
  },
  looks: {
    good: look(
      'The rail runs straight through, its paint whole around the hole in the middle.',
      [],
      rect(16, 76, 290, 56),
      HOLE,
    ),
    line: look(
      'The rail runs straight; from the hole in the middle a jagged, rusty line goes down to its edge.',
      ['middle'],
      rect(16, 76, 290, 56),
      HOLE,
      path('M160 112L154 118L162 124L156 132', 'line'),
      path('M166 112L161 119L169 125L163 132', 'line'),
    ),
    stepped: look(
      'To the right of the middle the rail goes on a hand lower than before, and the cross bolts there stand at a slant.',
      ['right', 'middle'],
      path('M16 76H214L222 96H306V150H222L214 132H16z', 'part'),
      HOLE,
      line(224, 104, 240, 140),
      line(240, 104, 256, 140),
    ),
  },
};

export const EXHAUST: Drawing = {
  base: [line(20, 20, 300, 20, 'thick')],
  spots: {
    flange: spot(84, 66, 60, 70, 'the flange'),
    hanger: spot(186, 24, 60, 66, 'the hanger'),
    end: spot(248, 84, 60, 80, 'the end of the pipe'),
  },
  looks: {
    good: look(
      'The pipe runs level, its flange is clean, and the hanger holds it.',
      [],
      rect(20, 90, 280, 26),
      rect(106, 78, 14, 50, 'solid'),
      line(214, 22, 214, 90),
    ),
    sooty: look(
      'The pipe runs level under its hanger; from the flange black streaks fan out, and haze rises there.',
      ['flange'],
      rect(20, 90, 280, 26),
      rect(106, 78, 14, 50, 'solid'),
      line(214, 22, 214, 90),
      line(104, 76, 84, 54),
      line(112, 74, 112, 46),
      line(122, 76, 142, 54),
      path('M100 40q8 -10 16 0t16 0', 'thin'),
    ),
    drooping: look(
      'The flange is clean; the strap of the hanger ends in the air, and the pipe droops towards its end.',
      ['hanger', 'end'],
      path('M20 90H110L300 148V174L110 116H20z', 'part'),
      rect(106, 78, 14, 50, 'solid'),
      line(214, 22, 208, 60),
      circle(206, 66, 5, 'line'),
    ),
  },
};

export const RADIATOR: Drawing = {
  base: [
    rect(60, 20, 200, 24),
    rect(60, 140, 200, 24),
    ...[76, 92, 108, 124, 140, 156, 172, 188, 204, 220, 236].map((x) => line(x, 44, x, 140, 'thin')),
    rect(60, 44, 200, 96, 'line'),
  ],
  spots: {
    core: spot(62, 46, 196, 90, 'the core'),
    lower: spot(56, 138, 208, 54, 'the lower tank'),
  },
  looks: {
    good: look('The fins are straight and free, and the lower tank is dry.', []),
    dripping: look(
      'The fins are free; a coloured trail runs along the lower tank, and drops hang below it.',
      ['lower'],
      path('M200 120q6 20 0 44', 'line'),
      drops(5, [188, 182], [204, 188], [220, 180]),
    ),
  },
};

export const PLATE: Drawing = {
  base: [rect(30, 40, 260, 120), rect(140, 22, 40, 14, 'solid')],
  spots: {
    plate: spot(66, 60, 188, 84, 'the field under the lamp'),
    lamp: spot(126, 8, 68, 36, 'the lamp above it'),
  },
  looks: {
    good: look(
      'Under the lamp is a plate with two screws; TF 31 can be read on it.',
      [],
      rect(76, 68, 168, 68),
      circle(92, 102, 5, 'solid'),
      circle(228, 102, 5, 'solid'),
      words(132, 110, 'TF 31'),
    ),
    gone: look(
      'Under the lamp there are two screw holes in clean paint.',
      ['plate'],
      circle(92, 102, 4, 'line'),
      circle(228, 102, 4, 'line'),
    ),
  },
};

export const SHAFT: Drawing = {
  base: [rect(90, 86, 140, 30), rect(120, 60, 70, 12, 'solid')],
  spots: {
    front: spot(24, 60, 66, 84, 'the front joint'),
    guard: spot(106, 44, 100, 36, 'the guard'),
    rear: spot(230, 60, 70, 84, 'the rear joint'),
  },
  looks: {
    good: look(
      'Both joints close without a gap, their caps level, and the guard is bolted on.',
      [],
      circle(66, 100, 28),
      circle(66, 100, 10, 'solid'),
      circle(254, 100, 28),
      circle(254, 100, 10, 'solid'),
    ),
    gap: look(
      'The front joint closes without a gap; the cap of the rear one stands out, with rust dust around it and air between its halves.',
      ['rear'],
      circle(66, 100, 28),
      circle(66, 100, 10, 'solid'),
      circle(264, 106, 28),
      circle(270, 112, 8, 'solid'),
      path('M240 70l14 20l-8 24l12 22', 'line'),
      ...[238, 250, 262].map((x) => circle(x, 146, 2, 'solid')),
    ),
  },
};

const straps = [rect(88, 44, 14, 104, 'solid'), rect(216, 44, 14, 104, 'solid')];

export const AIR_TANK: Drawing = {
  base: [line(20, 40, 300, 40, 'thick')],
  spots: {
    left: spot(72, 36, 46, 116, 'the left strap'),
    right: spot(200, 36, 50, 116, 'the right strap'),
    drain: spot(126, 124, 70, 66, 'the drain below'),
  },
  looks: {
    good: look(
      'The tank lies tight in both straps; its drain below is closed, dry and quiet.',
      [],
      rect(50, 52, 220, 90),
      straps,
      rect(152, 142, 16, 16, 'solid'),
    ),
    bubbles: look(
      'The tank lies tight in both straps; at the drain soapy water makes bubbles, one after the other.',
      ['drain'],
      rect(50, 52, 220, 90),
      straps,
      rect(152, 142, 16, 16, 'solid'),
      bubbles(160, 176),
    ),
    tilted: look(
      'The tank hangs at a slant: the right bolt of its bracket is half out, and that end lies a hand lower.',
      ['right'],
      path('M50 52L270 82V172L50 142z', 'part'),
      rect(88, 44, 14, 110, 'solid'),
      path('M216 44h14v140h-14z', 'solid'),
      line(240, 42, 240, 66),
    ),
    'slack-strap': look(
      'The tank lies level; the left strap hangs away from it, with a finger of air between.',
      ['left'],
      rect(50, 52, 220, 90),
      rect(216, 44, 14, 104, 'solid'),
      path('M84 40Q52 100 84 168Q118 176 116 150', 'line'),
    ),
  },
};

export const REFLECTORS: Drawing = {
  base: [rect(20, 70, 280, 60, 'line')],
  spots: {
    left: spot(36, 62, 88, 76, 'the left reflector'),
    right: spot(196, 62, 88, 76, 'the right reflector'),
  },
  looks: {
    good: look(
      'Two reflectors, left and right, whole and clean, throw the light back.',
      [],
      rect(52, 80, 56, 40, 'glow'),
      rect(212, 80, 56, 40, 'glow'),
    ),
    gone: look(
      'The left reflector throws the light back; on the right there is a frame with a shard in one corner.',
      ['right'],
      rect(52, 80, 56, 40, 'glow'),
      rect(212, 80, 56, 40, 'dash'),
      path('M212 120l18 0l-18 -16z', 'solid'),
    ),
  },
};

export const MUD_FLAPS: Drawing = {
  base: [line(20, 40, 300, 40, 'thick')],
  spots: {
    left: spot(40, 36, 90, 140, 'the left flap'),
    right: spot(190, 36, 90, 140, 'the right flap'),
  },
  looks: {
    good: look(
      'Two flaps hang behind the wheels, whole down to their lower edge.',
      [],
      rect(50, 42, 70, 126),
      rect(200, 42, 70, 126),
    ),
    half: look(
      'The right flap hangs down whole; of the left one only a strip is left under its bar.',
      ['left'],
      path('M50 42h70v24l-14 8l-12 -10l-16 14l-14 -10l-14 8z', 'part'),
      rect(200, 42, 70, 126),
    ),
  },
};
