import { beforeAll, describe, expect, it } from 'vitest';
import { replay } from '../../src/check/machine.ts';
import { view } from '../../src/check/view.ts';
import { SHORT_HOLD } from '../support/tube/bench-rigs.ts';
import { bargeIns, ownWords, unheard } from '../support/tube/conversation.ts';
import { edgesOf } from '../support/tube/edges.ts';
import type { TubeHost } from '../support/tube/host.ts';
import { nodeHost } from '../support/tube/host-node.ts';
import { INTERRUPTS, NEVER_WAITS } from '../support/tube/operator.ts';
import { runTube, type TubeOptions } from '../support/tube/tube.ts';

const EDGE_LIMIT = 60;
/** From the operator's onset to the tool's silence, ms. */
const SILENT_WITHIN = 400;
const { settling } = SHORT_HOLD.pace;
/** Ten dB below the operator, a quarter of a second late. */
const ALOUD: TubeOptions = { ...SHORT_HOLD, echo: { levelDb: -32, delay: 250 } };

let host: TubeHost;
beforeAll(async () => {
  host = await nodeHost();
});

describe('a check with the tool’s voice in the microphone', () => {
  it('through 44.1 kHz is done by an operator who waits for nothing: every callout once, the verdict and the edges right', async () => {
    const run = await runTube(host, {
      ...ALOUD,
      rate: 44_100,
      pace: { ...NEVER_WAITS, settling },
      settings: { voice: true, talk: 'short' },
    });
    expect(run.said.filter(({ again }) => again)).toEqual([]);
    expect([unheard(run), ownWords(run)]).toEqual([[], []]);
    expect(view(replay(run.events)).results.map(({ verdict }) => verdict)).toEqual(['fail']);
    expect(edgesOf(run).map(({ mark }) => mark)).toEqual(['before', 'after']);
    for (const { text, error } of edgesOf(run)) expect(Math.abs(error), text).toBeLessThanOrEqual(EDGE_LIMIT);
    const cut = bargeIns(run);
    expect(cut.length).toBeGreaterThan(0);
    for (const ms of cut) expect(ms).toBeLessThanOrEqual(SILENT_WITHIN);
  });

  it('spoken in full sentences, is done by one who breaks into each of them', async () => {
    const run = await runTube(host, {
      ...ALOUD,
      pace: { ...INTERRUPTS, settling },
      settings: { voice: true, talk: 'full' },
    });
    expect([unheard(run), ownWords(run)]).toEqual([[], []]);
    expect(view(replay(run.events)).results.map(({ verdict }) => verdict)).toEqual(['fail']);
    const cut = bargeIns(run);
    expect(cut.length).toBeGreaterThan(2);
    for (const ms of cut) expect(ms).toBeLessThanOrEqual(SILENT_WITHIN);
  });

  it('lets no word against a hold be lost that is said over its voice', async () => {
    const blurt = { text: 'engine started', after: 3000 };
    const run = await runTube(host, {
      ...ALOUD,
      pace: { ...NEVER_WAITS, settling, blurt },
      settings: { voice: true, talk: 'full' },
      longest: 40_000,
    });
    const blurted = run.said.find(({ text }) => text === blurt.text);
    // It came while the tool was speaking, or this tells nothing.
    expect(run.spoken.some(({ at, end }) => at < (blurted?.at ?? 0) && end > (blurted?.at ?? 0))).toBe(true);
    expect(run.answers.map(({ answer }) => answer)).toContainEqual({ type: 'whose', cue: 'engine-started' });
    // The operator says that they were his.
    expect(view(replay(run.events)).results.map(({ verdict }) => verdict)).not.toContain('pass');
    expect(ownWords(run)).toEqual([]);
  });
});
