import { afterEach, describe, expect, it, vi } from 'vitest';
import { userEvent } from 'vitest/browser';
import type { StartEvent } from '../../src/check/event.ts';
import { createHearing, type HearingEvents } from '../../src/hearing/hearing.ts';
import { readWav, writeWav } from '../../src/hearing/wav.ts';
import { spawnEmbeddedWorker } from '../../src/hearing/worker/spawn-web.ts';
import type { ChainedStore } from '../../src/record/chained-store.ts';
import { memoryStore } from '../../src/record/memory-store.ts';
import { headOf } from '../../src/running/head-of.ts';
import type { NamedHearing } from '../../src/running/microphone-ear.ts';
import type { AppParts } from '../../src/ui/shell/app-parts.ts';
import { Bench, chained, find, mount, press, settle, until } from './support/parts.ts';

const RATE = 16_000;

afterEach(() => {
  document.body.replaceChildren();
  location.hash = '';
});

interface Spoken {
  readonly heard: string;
  readonly at: number;
  readonly sound?: Float32Array;
}

/** Opens a check on the Logs screen that has just these callouts, each with its sound. */
async function open(spoken: readonly Spoken[], ears: readonly NamedHearing[]): Promise<ChainedStore> {
  const store = await chained(memoryStore());
  const parts = await new Bench().parts({ store, ears: () => Promise.resolve(ears) });
  await keep(store, parts, spoken);
  location.hash = '#logs/c1';
  await mount(parts);
  await until(() => find('.callouts'), 'the transcript');
  return store;
}

async function keep(store: ChainedStore, parts: AppParts, spoken: readonly Spoken[]): Promise<void> {
  const start: StartEvent = {
    type: 'start',
    at: 0,
    wall: '2026-03-02T07:00:00.000Z',
    plan: parts.plans[0]!,
    profile: parts.profiles[0]!,
    rig: { id: 'engine-31', name: 'Engine 31', unit: 'psi' },
    operator: 'A. Okafor',
    asking: 'ask',
  };
  await store.begin(headOf('c1', start, undefined));
  await store.append('c1', 0, start);
  for (const [nth, { heard, at, sound }] of spoken.entries()) {
    const meaning = parts.language.parse(['anything'], heard, 'psi');
    const clip = sound === undefined ? undefined : `c1-${nth}`;
    if (clip !== undefined)
      void store.keepClip({
        id: clip,
        check: 'c1',
        kept: nth,
        wav: new Blob([writeWav(sound!, RATE)], { type: 'audio/wav' }),
      });
    await store.append('c1', nth + 1, {
      type: 'callout',
      at,
      end: at + 800,
      heard,
      confidence: 0.9,
      source: 'voice',
      ...(clip === undefined ? {} : { clip }),
      ...(meaning === undefined ? {} : { meaning }),
    });
  }
  await store.close({ ...headOf('c1', start, undefined), state: 'given-up', verdict: 'incomplete' });
}

const beep = (ms: number): Float32Array =>
  Float32Array.from({ length: (RATE * ms) / 1000 }, (_, n) => 0.1 * Math.sin(n / 4));
const rows = (): string[] =>
  [...(find('tn-second-hearing')?.shadowRoot?.querySelectorAll('tbody tr') ?? [])].map((row) =>
    row.textContent.replace(/\s+/g, ' ').trim(),
  );

/** An ear that hears these words, one after another, whatever the sound. */
function scripted(words: readonly string[], name = 'the test ear'): NamedHearing {
  let nth = 0;
  const hearing = (events: HearingEvents) => ({
    ready: Promise.resolve(true),
    listenFor: () => undefined,
    async feed() {
      const text = words[nth++] ?? '';
      if (text !== '')
        await events.heard({
          engine: 'vosk',
          words: [],
          text,
          start: 0,
          end: 500,
          confidence: 0.7,
          rejected: false,
          clip: new Float32Array(),
        });
    },
    flush: () => Promise.resolve(),
    close: () => Promise.resolve(),
  });
  return { id: 'vosk', name, hearing };
}

/** `00:01:02.5` -> 62.5. */
const seconds = (time = ''): number => time.split(':').reduce((sum, part) => sum * 60 + Number(part), 0);

describe('the sound of a callout', () => {
  it('is played and stops by itself, and can be stopped', async () => {
    const play = vi.spyOn(HTMLMediaElement.prototype, 'play');
    const long = { heard: 'mirrors set', at: 3000, sound: beep(60_000) };
    await open([{ heard: 'chocks set', at: 1000, sound: beep(400) }, long], []);
    const button = await until(() => find<HTMLButtonElement>('button.play', /^Play\s+chocks set/), 'the button');
    await userEvent.click(button);
    await until(() => find('button.play[aria-pressed=true]', /^Stop/), 'that it plays');
    // Rejects where the browser cannot play it.
    await play.mock.results[0]!.value;
    await until(() => find('button.play[aria-pressed=true]') === undefined, 'that it has ended');
    const other = find<HTMLButtonElement>('button.play', /mirrors set/)!;
    await userEvent.click(other);
    await until(() => find('button.play[aria-pressed=true]', /mirrors set/), 'that the long one plays');
    await userEvent.click(other);
    await until(() => find('button.play[aria-pressed=true]') === undefined, 'that it is stopped');
    play.mockRestore();
  });
});

describe('the second hearing', () => {
  const SPOKEN = [
    { heard: 'chocks set', at: 1000, sound: beep(300) },
    { heard: 'mirrors set', at: 3000, sound: beep(300) },
  ];

  it('marks what another ear hears differently, and changes nothing', async () => {
    const store = await open(SPOKEN, [scripted(['chocks set', 'ignition on'])]);
    const before = await store.log('c1');
    await press('Hear all 2 sounds again');
    await until(() => rows().length === 2, 'both');
    expect(rows()[0]).toMatch(/^0:01 chocks set .*= the same/);
    expect(rows()[1]).toMatch(/^0:03 mirrors set .*≠ differs.*ignition on/);
    expect(find('tn-second-hearing')?.shadowRoot?.querySelector('[role=status]')?.textContent).toBe(
      'All callouts by the test ear: 1 the same, 1 differs. The log is unchanged.',
    );
    expect(await store.log('c1')).toEqual(before);
  });

  it('hears one callout from its line in the transcript', async () => {
    await open(SPOKEN, [scripted(['mirrors set'])]);
    await press(/^Hear again\s+mirrors set$/);
    await until(() => rows().length === 1, 'the one');
    expect(rows()[0]).toMatch(/^0:03 mirrors set .*= the same/);
  });

  it('hears an outside recording, and says in one line what is wrong with one', async () => {
    await open(SPOKEN, [scripted(['chocks set', '', 'ignition on'])]);
    const input = await until(
      () => find('tn-second-hearing')?.shadowRoot?.querySelector<HTMLInputElement>('input[type=file]'),
      'the picker',
    );
    const choose = async (file: File): Promise<void> => {
      const data = new DataTransfer();
      data.items.add(file);
      input.files = data.files;
      input.dispatchEvent(new Event('change'));
      await settle();
    };
    await choose(new File(['not a sound'], 'phone.wav'));
    await until(() => find('.refused', /phone\.wav.*not a WAV file/), 'the refusal');
    await choose(new File([writeWav(beep(1500), RATE)], 'phone.wav'));
    await until(() => rows().length === 2, 'the callouts side by side');
    expect(rows().map((row) => /= the same|≠ differs/.exec(row)?.[0])).toEqual(['= the same', '≠ differs']);
    expect(rows()[1]).toMatch(/mirrors set.*ignition on/);
    // Both checks have nothing that was judged.
    expect(find('tn-second-hearing')?.shadowRoot?.textContent).toContain('Every step would have the same verdict.');
  });

  it('says that an ear or a model is absent', async () => {
    const absent = (events: HearingEvents) => {
      events.problem({ what: 'The model is not in this build.' });
      const { hearing } = scripted([]);
      return { ...hearing(events), ready: Promise.resolve(false) };
    };
    await open(SPOKEN, [{ id: 'embedded', name: 'the embedded ear', hearing: absent }]);
    await until(() => find('p', /no model of the Vosk ear on this device/), 'the line about Vosk');
    await press('Hear all 2 sounds again');
    await until(() => find('.refused', 'the embedded ear: The model is not in this build.'), 'the line');
  });

  it('can be cancelled', async () => {
    const { hearing } = scripted([]);
    const endless = (events: HearingEvents) => {
      let gone: () => void = () => undefined;
      return {
        ...hearing(events),
        feed: () => new Promise<void>((done) => (gone = done)),
        close() {
          gone();
          return Promise.resolve();
        },
      };
    };
    await open(SPOKEN, [{ id: 'embedded', name: 'the embedded ear', hearing: endless }]);
    await press('Hear all 2 sounds again');
    await until(() => find('progress[aria-label="Second hearing"]'), 'the progress');
    await press('Cancel the second hearing');
    await until(() => find('.refused', 'All callouts: cancelled.'), 'the line');
    expect(rows()).toEqual([]);
  });

  it('hears with the real embedded ear what was said', async () => {
    const demo = readWav(new Uint8Array(await (await fetch('/demo/engine-31.wav')).arrayBuffer()), 'demo');
    if (!demo.ok) throw new Error(demo.problem.what);
    const cues = await (await fetch('/demo/engine-31.vtt')).text();
    const cut = [1, 2].map((nth): Spoken => {
      const [, from, to, heard] =
        /([\d:.]+) --> ([\d:.]+)\n(?:<v [^>]*>)?(.*)/.exec(cues.split('\n\n')[nth] ?? '') ?? [];
      const start = seconds(from) - 0.25;
      const sound = demo.value.samples.slice(Math.round(start * RATE), Math.round((seconds(to) + 0.2) * RATE));
      return { heard: heard ?? '', at: start * 1000, sound };
    });
    const embedded = (events: HearingEvents) =>
      createHearing(
        { spawn: spawnEmbeddedWorker, model: new URL('/models/embedded/', location.href).href, live: false },
        events,
      );
    await open(cut, [{ id: 'embedded', name: 'the embedded ear', hearing: embedded }]);
    await press('Hear all 2 sounds again');
    // However long a busy machine takes; an ear that gives up says why.
    const refused = await vi.waitFor(
      () => {
        const line = find('.refused')?.textContent.trim();
        if (line === undefined) expect(rows()).toHaveLength(2);
        return line;
      },
      { timeout: 600_000, interval: 200 },
    );
    expect(refused).toBeUndefined();
    expect(rows().map((row) => /= the same|≠ differs|∅ not heard now/.exec(row)?.[0])).toEqual([
      '= the same',
      '= the same',
    ]);
  });
});

describe('sounds of the cab', () => {
  it('that were heard in a check stand in its transcript as proposals, once each', async () => {
    const bench = new Bench();
    const store = await chained(memoryStore());
    await mount(await bench.parts({ store, ear: () => bench.fakeEar() }));
    await press('Start the check');
    const listener = await until(() => bench.listener, 'the ear');
    await listener.progress(0);
    const sound = { level: -20, floor: -50, snr: 30, clipped: false } as const;
    listener.level({ ...sound, cabSounds: [{ kind: 'steady-tone', ago: 1000 }] }, 6000);
    // An ear that was begun again hears the same.
    listener.level({ ...sound, cabSounds: [{ kind: 'steady-tone', ago: 1100 }] }, 6100);
    await settle();
    await press('Stop');
    await press('Yes, stop');
    await until(() => find('tn-end-screen'), 'the end');
    const [head] = await store.heads();
    await press('Back to the start');
    location.hash = `#logs/${head!.id}`;
    await until(() => find('.callouts'), 'the transcript');
    const marks = [...(find('tn-transcript')?.shadowRoot?.querySelectorAll('tr.mark') ?? [])];
    expect(marks.map((mark) => mark.textContent.replace(/\s+/g, ' ').trim())).toEqual([
      '0:05 Proposed by the sound: a steady tone begins, as of a low-air buzzer',
    ]);
  });
});
