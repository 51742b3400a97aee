import tseslint from 'typescript-eslint';

const PURE = ['units', 'grammar', 'judging', 'check', 'airsystem', 'rehearsal'].map((room) => `src/${room}/**/*.ts`);

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
    files: PURE,
    rules: {
      'no-restricted-globals': [
        'error',
        ...[
          'window',
          'document',
          'navigator',
          'performance',
          'setTimeout',
          'setInterval',
          'fetch',
          'indexedDB',
          'localStorage',
          'process',
        ].map((name) => ({
          name,
          message: 'Pure rooms take time and data as arguments.',
        })),
      ],
      'no-restricted-properties': [
        'error',
        { object: 'Date', property: 'now', message: 'Pure rooms never read a clock.' },
        { object: 'Math', property: 'random', message: 'Pure rooms take their random source as an argument.' },
      ],
    },
  },
  {
    files: ['tests/**/*.ts'],
    rules: { '@typescript-eslint/no-non-null-assertion': 'off' },
  },
);
