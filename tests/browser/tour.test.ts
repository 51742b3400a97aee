import { afterEach, describe, expect, it } from 'vitest';
import { userEvent } from 'vitest/browser';
import { TONE_MEANINGS } from '../../src/answering/tones.ts';
import type { Voice } from '../../src/answering/voice.ts';
import { memoryRehearsals } from '../../src/record/rehearsal-shelf.ts';
import { speechOver } from '../../src/running/speech-over.ts';
import type { RehearsalRun } from '../../src/ui/rehearse/rehearsal-run.ts';
import { Bench, find, mount, settle, until } from './support/parts.ts';
import { announced, readPage, type Reading } from './support/reader.ts';

/** What the tour takes of a clock that is let run, in ms: the pages are read beside it. */
const MOST = 60_000;

afterEach(() => {
  document.body.replaceChildren();
  location.hash = '';
});

const run = (): RehearsalRun | undefined => find<RehearsalRun>('tn-rehearsal-run');
const offer = (): HTMLElement | undefined => find<HTMLElement>('tn-first-run:not([hidden])');

function focused(): string {
  let element = document.activeElement;
  for (let inner = element; inner !== null; inner = inner.shadowRoot?.activeElement ?? null) element = inner;
  return element?.textContent.replace(/\s+/g, ' ').trim() ?? '';
}

async function key(typed: string): Promise<void> {
  await userEvent.keyboard(typed);
  await settle();
}

async function tabTo(what: RegExp): Promise<void> {
  for (let presses = 0; presses < 40; presses += 1) {
    await key('{Tab}');
    if (what.test(focused())) return key('{Enter}');
  }
  throw new Error(`the Tab key never came to ${String(what)}`);
}

async function at(heading: string): Promise<Reading> {
  await until(() => focused() === heading, `the focus on “${heading}”, but it is on “${focused()}”`);
  return readPage();
}

function needle(circuit: 'primary' | 'secondary'): string {
  return String(Math.round(Number(find(`svg.${circuit}[role=meter]`)?.getAttribute('aria-valuenow'))));
}

async function callNeedles(): Promise<void> {
  await key(needle('primary'));
  await key(`{Tab}${needle('secondary')}{Enter}`);
}

describe('the two-minute tour', { timeout: 600_000 }, () => {
  it('is offered on the first run and taken by keys alone, read in words, with its tones in words and in sound', async () => {
    const bench = new Bench();
    const played: string[] = [];
    const voice: Voice = {
      settings: { rate: 1, volume: 1, system: false },
      onSpeaking: undefined,
      speaking: false,
      speak: (phrases) => Promise.resolve(void played.push(...phrases)),
      cancel: () => undefined,
    };
    const rehearsals = memoryRehearsals();
    // Without voice: only what is pressed for is heard.
    bench.stored.set('settings', { voice: false });
    const base = await bench.parts({ rehearsals });
    await mount({ ...base, speech: (settings) => speechOver(voice, settings, () => bench.now) });
    await until(offer, 'the offer');
    await tabTo(/^Take the tour$/);
    const about = await at('What it is for');
    expect(about.focused?.description).toBe('Two-minute tour, 1 of 4');
    expect(about.lines.join(' ')).toMatch(/A rig can roll\. Level ground/);
    await tabTo(/^Next$/);
    const listening = await at('What it listens for, and what its tones mean');
    for (const { means, sounds } of Object.values(TONE_MEANINGS))
      expect(listening.lines.join(' ')).toContain(`${means} : ${sounds}`);
    await tabTo(/call the needles now$/);
    expect(played).toEqual(['tone:call']);
    await tabTo(/^Next$/);
    await at('One real hold');
    await tabTo(/^Do the hold$/);
    const cab = await until(run, 'the cab');
    const began = bench.now;
    await until(() => cab.model.cues.length > 0, 'the cues');
    for (const label of ['Engine off', 'Brakes released', 'Settled']) {
      await bench.pass(2_000);
      const place = cab.model.cues.findIndex((each) => each.label === label) + 1;
      await key(`{Shift>}{Digit${place}}{/Shift}`);
    }
    await bench.pass(3_000);
    let before = await readPage();
    await callNeedles();
    expect(announced(before, await readPage()).join(' ')).toContain('Hold started');
    before = await readPage();
    await bench.pass(16_000);
    expect(announced(before, await readPage()).join(' ')).toContain('Call both needles now');
    await callNeedles();
    const ending = await at('What the verdict means');
    expect(bench.now - began).toBeLessThan(MOST);
    expect(ending.lines.join(' ')).toMatch(
      /Your hold: Static leakage.* pass .*On a rig the hold takes a minute.*at most 2 psi.*Not a licence to drive/,
    );
    expect(played).toEqual(['tone:call']);
    expect(await rehearsals.all()).toEqual([]);
    await tabTo(/^To the start$/);
    await at('Two Needles');
    await until(() => find('tn-first-run'), 'the start screen');
    await settle();
    expect(offer()).toBeUndefined();
  });

  it('can be skipped at each page, also its hold, which then passes nothing', async () => {
    const bench = new Bench();
    location.hash = '#rehearse/tour';
    await mount(await bench.parts());
    await at('What it is for');
    await tabTo(/^Next$/);
    await tabTo(/^Next$/);
    await tabTo(/^Do the hold$/);
    await until(run, 'the cab');
    await key('x');
    await until(() => find('h2', 'Stop the check here?'), 'the question');
    await key('y');
    const ending = await at('What the verdict means');
    expect(ending.lines.join(' ')).toMatch(/Your hold: Static leakage.* not judged/);
    await tabTo(/^Back$/);
    await at('One real hold');
    await tabTo(/^Skip the hold$/);
    await at('What the verdict means');
    await tabTo(/^Back$/);
    await tabTo(/^Leave the tour$/);
    await at('Two Needles');
  });

  it('is declined without losing the focus, and not offered again', async () => {
    const bench = new Bench();
    const app = await mount(await bench.parts());
    await until(offer, 'the offer');
    await tabTo(/^Not now$/);
    await until(() => /The tour waits/.test(focused()), 'the focus on what was said');
    app.remove();
    await mount(await bench.parts());
    await until(() => find('tn-demo')?.shadowRoot?.querySelector('h2'), 'the start screen');
    await settle();
    expect(offer()).toBeUndefined();
  });
});
