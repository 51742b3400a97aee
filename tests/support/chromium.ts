import { execFileSync, spawnSync } from 'node:child_process';
import { existsSync } from 'node:fs';

const NAMES = ['chromium', 'chromium-browser', 'google-chrome', 'google-chrome-stable'];

/**
 * Path of a Chromium for the browser tests: CHROMIUM_PATH, one on the PATH, else one that this call installs (Debian's
 * package as root, or playwright's own download).
 * @throws Error with one line that says what to do when there is none and none can be installed.
 */
export function findChromium(): string {
  return installed() ?? installFromDebian() ?? installFromPlaywright() ?? fail();
}

/** Chromium refuses its sandbox to root, and must not look for updates in the middle of a timed test. */
export const CHROMIUM_ARGS = [
  '--no-sandbox',
  '--disable-gpu',
  '--disable-quic',
  '--no-first-run',
  '--disable-background-networking',
  '--disable-component-update',
  '--disable-sync',
];

function installed(): string | undefined {
  const chosen = process.env['CHROMIUM_PATH'];
  if (chosen !== undefined && chosen !== '') {
    if (existsSync(chosen)) return chosen;
    throw new Error(`CHROMIUM_PATH is ${chosen}, but there is no such file.`);
  }
  for (const name of NAMES) {
    const found = spawnSync('which', [name], { encoding: 'utf8' });
    if (found.status === 0) return found.stdout.trim();
  }
  return undefined;
}

function installFromDebian(): string | undefined {
  if (process.getuid?.() !== 0 || spawnSync('which', ['apt-get']).status !== 0) return undefined;
  console.error('No Chromium found; installing the Debian package.');
  spawnSync('apt-get', ['update', '-qq'], { stdio: ['ignore', 'ignore', 'inherit'] });
  // Another test command on this machine may be installing it: then this one waits for that.
  spawnSync('apt-get', ['install', '-y', '-qq', '-o', 'DPkg::Lock::Timeout=600', 'chromium'], {
    stdio: ['ignore', 'ignore', 'inherit'],
    env: { ...process.env, DEBIAN_FRONTEND: 'noninteractive' },
  });
  return installed();
}

function installFromPlaywright(): string | undefined {
  console.error('No Chromium found; asking playwright for one.');
  if (spawnSync('npx', ['playwright-core', 'install', 'chromium'], { stdio: 'inherit' }).status !== 0) return undefined;
  const script = "import('playwright-core').then((p) => process.stdout.write(p.chromium.executablePath()))";
  const path = execFileSync(process.execPath, ['-e', script], { encoding: 'utf8' });
  return existsSync(path) ? path : undefined;
}

function fail(): never {
  throw new Error('The browser tests need Chromium: install it, or set CHROMIUM_PATH to one.');
}
