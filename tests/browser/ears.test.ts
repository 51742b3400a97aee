import axe from 'axe-core';
import { afterEach, describe, expect, it } from 'vitest';
import { HOSTS_KEY } from '../../src/ui/shared/hosts.ts';
import type { ModelLibrary } from '../../src/hearing/models/library.ts';
import type { StoredModel } from '../../src/hearing/models/records.ts';
import { EarModels } from '../../src/running/ear-models.ts';
import { bad, good } from '../../src/units/outcome.ts';
import { Bench, find, mount, press, settle, until } from './support/parts.ts';

afterEach(() => document.body.replaceChildren());

const MODEL: StoredModel = {
  id: 'm1',
  name: 'small-english',
  source: 'https://models.invalid/small-english.zip',
  bytes: 41_000_000,
  sha256: '0123456789abcdef'.repeat(4),
  vocabulary: 120_000,
  missingWords: ['niner', 'psi'],
  takesPhrases: true,
  rejectsOtherSpeech: true,
  pieces: [],
};
const PART = { id: 'p1', url: 'https://models.invalid/other.zip', received: 12e6, total: 40e6, pieces: [] };

/** A device with one model and one unfinished download, whose server never answers. */
function device(): EarModels {
  let models = [MODEL];
  const library: ModelLibrary = {
    list: () => Promise.resolve(models),
    unfinished: () => Promise.resolve([PART]),
    download: ({ url }, watch) =>
      new Promise((resolve) => {
        watch?.onProgress?.(13e6, 40e6);
        watch?.signal?.addEventListener('abort', () =>
          resolve(bad('The download was stopped after 13 MB of 40 MB.', url)),
        );
      }),
    addFile: (_, name) => Promise.resolve(bad('This is a Sphinx model, which this engine cannot use.', name)),
    open: () => Promise.resolve(bad('not asked for')),
    verify: () => Promise.resolve(good(MODEL)),
    remove: () => {
      models = [];
      return Promise.resolve();
    },
  };
  return new EarModels({
    open: () => Promise.resolve(library),
    served: () => Promise.resolve([{ name: 'station-model', url: '/models/s.tgz', bytes: 39e6, sha256: 'ff' }]),
    freeSpace: () => Promise.resolve(3e9),
  });
}

async function open(settings: Record<string, unknown> = {}): Promise<Bench> {
  const bench = new Bench();
  bench.stored.set('settings', settings);
  await mount(await bench.parts({ earModels: device() }));
  await until(() => find('h3', 'small-english'), 'the model');
  return bench;
}

const says = (): string | undefined => find('section[aria-label="Ears"] > p')?.textContent;

async function violations(): Promise<string[]> {
  const tags = ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa'];
  const found = await axe.run(document.body, { runOnly: { type: 'tag', values: tags } });
  return found.violations.flatMap(({ id, nodes }) => nodes.map((node) => `${id}: ${node.html.slice(0, 160)}`));
}

describe('the ears on the start screen', () => {
  it('say which one hears the next check, and keep the choice', async () => {
    const bench = await open();
    expect(says()).toBe('The next check is heard by the Two Needles ear.');
    find<HTMLLabelElement>('label', 'Always the embedded ear')?.click();
    await settle();
    expect(says()).toBe('The next check is heard by the embedded ear.');
    expect(bench.stored.get('settings')).toMatchObject({ ear: 'embedded' });
    find<HTMLLabelElement>('label', 'Always Vosk with small-english')?.click();
    await settle();
    expect(says()).toBe('The next check is heard by the Vosk ear with small-english.');
    expect(bench.stored.get('settings')).toMatchObject({ ear: 'm1' });
    await press('Remove small-english');
    expect(says()).toBe('The next check is heard by the Two Needles ear.');
  });

  it('show what a model lacks, what is unfinished and what the station offers', async () => {
    await open();
    expect(find('p', /^It cannot hear 2 of our words: niner, psi\.$/)).toBeDefined();
    expect(find('p', '12 MB of 40 MB of https://models.invalid/other.zip')).toBeDefined();
    expect(find('button', 'Add station-model')).toBeDefined();
  });

  it('show a download under way, and stop it', async () => {
    await open();
    localStorage.setItem(HOSTS_KEY, '["https://models.invalid"]');
    await press('Resume the download of https://models.invalid/other.zip');
    expect(find('p', 'Downloading: 13 MB of 40 MB')).toBeDefined();
    expect(find<HTMLButtonElement>('button', 'Verify small-english')?.disabled).toBe(true);
    await press('Cancel the download');
    expect(find('.refused', /The download was stopped after 13 MB of 40 MB\.$/)).toBeDefined();
  });

  it.each(['day', 'night'])('have no violation by %s, at rest and while a model comes', async (theme) => {
    await open({ theme });
    find<HTMLElement>('summary', 'Add a model for the Vosk ear')?.click();
    find<HTMLElement>('summary', /^SHA-256 and origin/)?.click();
    await settle();
    expect(await violations()).toEqual([]);
    await press(/^Resume/);
    expect(await violations()).toEqual([]);
    await press('Cancel the download');
    expect(await violations()).toEqual([]);
  });
});
