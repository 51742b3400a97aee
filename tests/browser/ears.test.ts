import axe from 'axe-core';
import { afterEach, describe, expect, it } from 'vitest';
import { HOSTS_KEY } from '../../src/ui/shared/hosts.ts';
import type { ModelLibrary } from '../../src/hearing/models/library.ts';
import type { StoredModel } from '../../src/hearing/models/records.ts';
import { EarModels } from '../../src/running/ear-models.ts';
import { bad, good } from '../../src/units/outcome.ts';
import { noiseSource } from '../unit/hearing/signals.ts';
import { Bench, find, mount, press, settle, until } from './support/parts.ts';
import { violations } from './support/violations.ts';

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

/** So many seconds of even noise, with a buzz in it where `voice` is not 0. */
function sound(seconds: number, voice: number): Float32Array {
  const random = noiseSource(7);
  return Float32Array.from(
    { length: seconds * 16_000 },
    (_, n) => 0.1 * random() + voice * Math.sin(n * 0.3) * Math.sin(n * 0.0015),
  );
}

it('asks for quiet and for a phrase, says what to do, switches to push-to-talk by one press, and holds nobody up', async () => {
  const bench = new Bench();
  await mount(
    await bench.parts({
      ear: () => bench.fakeEar(),
      microphones: () => Promise.resolve([{ id: 'dash', name: 'Dash microphone' }]),
    }),
  );
  const status = (): string =>
    [...(find('tn-sound-check')?.shadowRoot?.querySelectorAll('[role=status]') ?? [])]
      .map((region) => region.textContent.trim())
      .join(' ');
  (await until(() => find<HTMLElement>('button', 'Try the microphone'), 'the sound check')).focus();
  await press('Try the microphone');
  const hear = async (seconds: number, voice: number): Promise<void> => {
    const { listener } = bench;
    listener?.sound?.(sound(seconds, voice), 16_000);
    await settle();
    await settle();
  };
  await until(() => bench.listener?.sound !== undefined, 'the ear');
  await hear(1, 0);
  expect(status()).toMatch(/Do not speak/);
  await hear(1.5, 0);
  expect(status()).toMatch(/Now say.*primary one two zero, secondary one one eight/);
  await hear(3, 0.2);
  await hear(2, 0);
  await until(() => /drowns your voice/.test(status()), 'the advice');
  const panel = await until(() => find('tn-sound-check'), 'the panel');
  expect((await axe.run(panel, { resultTypes: ['violations'] })).violations).toEqual([]);
  // The keyboard stays where it was.
  expect(panel.shadowRoot?.activeElement?.textContent.trim()).toBe('Leave the sound check');

  await press('Use push-to-talk');
  expect(bench.stored.get('settings')).toMatchObject({ pushToTalk: true });
  const choice = find<HTMLSelectElement>('select[name=microphone]')!;
  choice.value = 'dash';
  choice.dispatchEvent(new Event('change'));
  await settle();
  expect(bench.stored.get('settings')).toMatchObject({ microphone: 'dash', pushToTalk: true });

  // In the middle of a sound check.
  await press('Start the check');
  await until(() => find('tn-check-screen'), 'the Check screen');
});
