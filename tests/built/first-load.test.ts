import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { gzipSync } from 'node:zlib';
import { describe, expect, it } from 'vitest';

/** What a phone on a slow link waits for before it shows anything; our own target. */
const MOST_BYTES = 150_000;

/** Scripts that are fetched before the first screen is shown: the one of the page, and what it imports from its first line on. */
function firstScripts(): readonly string[] {
  const page = readFileSync('dist/index.html', 'utf8');
  const waiting = [...page.matchAll(/<script[^>]* src="\.\/([^"]+\.js)"/g)].map(([, path = '']) => path);
  const found = new Set<string>();
  for (let path = waiting.pop(); path !== undefined; path = waiting.pop()) {
    if (found.has(path)) continue;
    found.add(path);
    const text = readFileSync(join('dist', path), 'utf8');
    for (const [, name = ''] of text.matchAll(/(?:\bfrom|\bimport)\s*["']\.\/([^"']+\.js)["']/g))
      waiting.push(join('assets', name));
  }
  return [...found];
}

describe('the first load', () => {
  it('is small: no screen is fetched before it is shown', () => {
    const scripts = firstScripts();
    const bytes = scripts.reduce((sum, path) => sum + gzipSync(readFileSync(join('dist', path))).length, 0);
    console.log(`First load: ${scripts.length} scripts, ${(bytes / 1000).toFixed(0)} kB compressed.`);
    expect(scripts.length).toBeGreaterThan(0);
    expect(bytes).toBeLessThan(MOST_BYTES);
  });
});
