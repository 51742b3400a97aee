/** All that the made-up operator of the demo says, in a voice of its own; rendered at build time. A leak in the secondary circuit. */
export const DEMO_LINES = {
  engineOff: 'engine off',
  released: 'brakes released',
  settled: 'settled',
  before: 'primary one one eight, secondary one one seven',
  after: 'primary one one seven, secondary one zero nine',
  yes: 'yes, that is right',
  warning: 'buzzer',
  warningAt: 'primary sixty six, secondary sixty seven',
} as const;
