/** Every room below that of the running check. */
const BELOW = [
  'units',
  'grammar',
  'judging',
  'items',
  'check',
  'airsystem',
  'rehearsal',
  'hearing',
  'answering',
  'record',
  'shelf',
  'audit',
  'examining',
];

/** Which room may import which: the last column of the table in DEVELOPERS.md. A room may always import itself. */
const ROOMS = {
  units: [],
  grammar: ['units'],
  judging: ['units'],
  airsystem: ['units'],
  items: ['grammar', 'judging', 'units'],
  check: ['items', 'grammar', 'judging', 'airsystem', 'units'],
  rehearsal: ['check', 'items', 'airsystem', 'judging', 'grammar', 'units'],
  hearing: ['grammar', 'units'],
  answering: ['check', 'items', 'grammar', 'judging', 'units'],
  record: ['check', 'items', 'units'],
  shelf: ['record', 'units'],
  audit: ['record', 'items', 'judging', 'grammar', 'hearing', 'units'],
  examining: ['record', 'check', 'judging', 'units'],
  running: [...BELOW],
  ui: [...BELOW, 'running'],
  cli: [...BELOW, 'running'],
};

/** No DOM, no Node, no clock: these rooms may use only themselves, the rooms above them and pure libraries. */
const PURE = ['units', 'grammar', 'judging', 'airsystem', 'items', 'check', 'rehearsal'];

const roomRules = Object.entries(ROOMS).map(([room, allowed]) => ({
  name: `${room}-imports`,
  comment: `src/${room} may import only ${[room, ...allowed].map((name) => `src/${name}`).join(', ')}`,
  severity: 'error',
  from: { path: `^src/${room}/` },
  to: { path: '^src/', pathNot: `^src/(${[room, ...allowed].join('|')})/` },
}));

module.exports = {
  forbidden: [
    ...roomRules,
    {
      name: 'pure-rooms-touch-nothing',
      comment: 'Pure rooms take time and data as arguments.',
      severity: 'error',
      from: { path: `^src/(${PURE.join('|')})/` },
      to: { dependencyTypes: ['core'] },
    },
    {
      name: 'product-without-tests',
      comment: 'The product never depends on its tests.',
      severity: 'error',
      from: { path: '^src/' },
      to: { path: '^tests/' },
    },
    {
      name: 'no-cycles',
      comment: 'An arrow never points back, not for a type either.',
      severity: 'error',
      from: {},
      to: { circular: true },
    },
    {
      name: 'no-unresolved',
      comment: 'Every import must be found.',
      severity: 'error',
      from: {},
      to: { couldNotResolve: true, pathNot: '^virtual:' },
    },
  ],
  options: {
    doNotFollow: { path: 'node_modules' },
    tsPreCompilationDeps: true,
    tsConfig: { fileName: 'tsconfig.json' },
    enhancedResolveOptions: {
      exportsFields: ['exports'],
      conditionNames: ['import', 'require', 'node', 'default', 'types'],
    },
  },
};
