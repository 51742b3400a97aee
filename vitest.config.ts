import { playwright } from '@vitest/browser-playwright';
import { defineConfig } from 'vitest/config';
import { BaseSequencer, type TestSpecification } from 'vitest/node';
import { CHROMIUM_ARGS, findChromium } from './tests/support/chromium.ts';
import { seedOfRun } from './tests/support/seed.ts';
import { shortHoldInNode } from './tests/support/tube/node-command.ts';

/** A test that hangs ends some time; one that is only slow, on a busy machine, does not. */
const PATIENCE = {
  testTimeout: 10 * 60_000,
  hookTimeout: 10 * 60_000,
  expect: { poll: { timeout: 5 * 60_000 } },
};
/** What a file imports is there for the next one: no module of ours remembers anything of a test. */
const TOGETHER = { isolate: false };
/** Drawn once, and the same in every worker. */
const env = { TWO_NEEDLES_SEED: String(seedOfRun()) };

/** Finding, or installing, a browser is left until the browser project is really asked for. */
const asked = process.argv.flatMap((argument, at) =>
  argument === '--project' ? [process.argv[at + 1]] : argument.startsWith('--project=') ? [argument.slice(10)] : [],
);
const wantsBrowser = asked.length === 0 || asked.includes('browser');

/** By what takes longest on a fresh clone, where no run before this one has told: whole checks, then ears, then what draws many checks. */
const LONG = [/\/tests\/tube\//, /\/unit\/hearing\/|\/cli\/hear/, /silent-pass|\/rehearsal\/|\/airsystem/] as const;

/** One of them that is begun last leaves the other cores with nothing to do. */
class LongestFirst extends BaseSequencer {
  override async sort(files: TestSpecification[]): Promise<TestSpecification[]> {
    const sorted = await super.sort(files);
    const rankOf = ({ moduleId }: TestSpecification): number => {
      const rank = LONG.findIndex((kind) => kind.test(moduleId));
      return rank === -1 ? LONG.length : rank;
    };
    return sorted.toSorted((one, other) => rankOf(one) - rankOf(other));
  }
}

export default defineConfig({
  test: {
    sequence: { sequencer: LongestFirst },
    projects: [
      {
        test: {
          name: 'node',
          environment: 'node',
          include: ['tests/unit/**/*.test.ts', 'tests/reference/**/*.test.ts', 'tests/tube/**/*.test.ts'],
          setupFiles: ['tests/support/seeded.ts'],
          ...TOGETHER,
          ...PATIENCE,
          env,
        },
      },
      {
        test: {
          name: 'built',
          environment: 'node',
          include: ['tests/built/**/*.test.ts', 'tests/kills/**/*.test.ts'],
          ...PATIENCE,
          env,
        },
      },
      {
        test: {
          name: 'e2e',
          environment: 'node',
          include: ['tests/e2e/**/*.test.ts'],
          // What is played in real time is played alone.
          fileParallelism: false,
          ...PATIENCE,
          env,
        },
      },
      {
        test: {
          name: 'live',
          environment: 'node',
          include: ['tests/live/**/*.test.ts'],
          fileParallelism: false,
          ...PATIENCE,
          testTimeout: 30 * 60_000,
        },
      },
      {
        extends: './vite.config.ts',
        // Found late, a dependency would be bundled anew in the middle of a test.
        optimizeDeps: {
          include: [
            'lit',
            'lit/decorators.js',
            'lit/async-directive.js',
            'lit/directives/live.js',
            'lit/directives/repeat.js',
            'idb',
            'axe-core',
            'valibot',
            'meyda',
            'fft.js',
            'soundswallower',
            'vosk-browser/dist/vosk.worker.js',
            '@noble/hashes/utils.js',
            'aws4fetch',
          ],
        },
        test: {
          name: 'browser',
          include: ['tests/browser/**/*.test.ts'],
          ...TOGETHER,
          ...PATIENCE,
          browser: {
            enabled: true,
            headless: true,
            screenshotFailures: false,
            connectTimeout: 5 * 60_000,
            commands: { shortHoldInNode },
            provider: playwright({
              // Nobody touches the page before it may make a sound.
              launchOptions: wantsBrowser
                ? {
                    executablePath: findChromium(),
                    args: [...CHROMIUM_ARGS, '--autoplay-policy=no-user-gesture-required'],
                  }
                : {},
            }),
            instances: [{ browser: 'chromium' }],
          },
        },
      },
    ],
  },
});
