import tseslint from 'typescript-eslint';

const PURE = ['units', 'grammar', 'judging', 'check', 'airsystem', 'items', 'rehearsal'].map(
  (room) => `src/${room}/**/*.ts`,
);

export default tseslint.config(
  {
    ignores: [
      'dist/',
      'node_modules/',
      'public/',
      'coverage/',
      'reports/',
      '.stryker-tmp/',
      '**/*.cjs',
      'eslint.config.js',
    ],
  },
  ...tseslint.configs.strictTypeChecked,
  {
    languageOptions: { parserOptions: { projectService: true } },
    rules: {
      // Numbers in messages are the point of this program.
      '@typescript-eslint/restrict-template-expressions': ['error', { allowNumber: true }],
      '@typescript-eslint/consistent-type-imports': 'error',
      '@typescript-eslint/switch-exhaustiveness-check': 'error',
      '@typescript-eslint/no-confusing-void-expression': ['error', { ignoreArrowShorthand: true }],
      '@typescript-eslint/no-unnecessary-condition': [
        'error',
        { allowConstantLoopConditions: 'only-allowed-literals' },
      ],
      eqeqeq: 'error',
    },
  },
  {
    // What else these rooms must not touch is not in their types: see `src/tsconfig.bare.json`.
    files: PURE,
    rules: {
      'no-restricted-syntax': [
        'error',
        {
          selector: "NewExpression[callee.name='Date'][arguments.length=0]",
          message: 'Pure rooms never read a clock.',
        },
      ],
      'no-restricted-properties': [
        'error',
        { object: 'Date', property: 'now', message: 'Pure rooms never read a clock.' },
        { object: 'Math', property: 'random', message: 'Pure rooms take their random source as an argument.' },
      ],
    },
  },
  {
    files: ['src/{running,hearing,record,shelf,answering,audit,ui}/**/*.ts', 'src/app.ts'],
    ignores: ['src/running/host-clock.ts'],
    rules: {
      'no-restricted-properties': [
        'error',
        ...['Date', 'performance'].map((object) => ({
          object,
          property: 'now',
          message: 'Time comes from the clock that is handed in; see `src/units/clock.ts`.',
        })),
      ],
    },
  },
  {
    files: ['tests/**/*.ts'],
    rules: { '@typescript-eslint/no-non-null-assertion': 'off' },
  },
);
