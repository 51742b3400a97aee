import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import type { Ruleset } from '../../../../src/grammar/ruleset.ts';
import { openVoskWorker } from '../../../../src/hearing/vosk/host/open-in-node.ts';
import { listeningFor } from '../../../../src/hearing/vosk/phrases.ts';
import { VoskSession } from '../../../../src/hearing/vosk/worker-session.ts';
import { packModel } from '../../../support/tiny-model/archive.ts';
import { wordsTable } from '../../../support/tiny-model/graph.ts';
import { tinyModelFiles, tinyModelWords } from '../../../support/tiny-model/tiny-model.ts';
import { CUES, EVENT, READINGS, utterance } from './spoken.ts';

const UNKNOWN = '[unk]';
const [SLT, AWB] = ['slt', 'awb'] as const;

async function opened(files: Record<string, string | Uint8Array>): Promise<VoskSession> {
  const session = new VoskSession(openVoskWorker, 120_000);
  await session.load(new Blob([(await packModel(files)) as Uint8Array<ArrayBuffer>]), () => undefined);
  return session;
}

/** What the engine itself says, with the marks of other speech. */
async function words(
  session: VoskSession,
  ruleset: Ruleset,
  text: string,
  voice: typeof SLT | typeof AWB = SLT,
): Promise<string> {
  const found = await session.hear(await utterance(text, voice), listeningFor(ruleset));
  return found.map(({ word }) => word).join(' ');
}

async function byPhrases(session: VoskSession, ruleset: Ruleset, text: string): Promise<string> {
  const { phrases } = listeningFor(ruleset);
  return (await session.hear(await utterance(text), { phrases })).map(({ word }) => word).join(' ');
}

describe('a strict grammar', { timeout: 600_000 }, () => {
  let session: VoskSession;
  beforeAll(async () => {
    session = await opened(tinyModelFiles());
  }, 600_000);
  afterAll(() => session.end());

  it.each([
    ['primary one two five secondary one two four', SLT],
    ['secondary nine eight', AWB],
    ['buzzer primary six five secondary six four', SLT],
    ['valve popped', AWB],
  ] as const)('hears a callout of the step: %s', async (text, voice) => {
    expect(await words(session, EVENT, text, voice)).toBe(text);
  });

  it.each(['one two five primary', 'five primary two one', 'two primary one secondary', 'popped valve'])(
    'does not hear its words in another order, which the list of phrases does: %s',
    async (text) => {
      const heard = await words(session, EVENT, text);
      expect(heard).not.toBe('');
      expect(new Set(heard.split(' '))).toEqual(new Set([UNKNOWN]));
      expect(await byPhrases(session, EVENT, text)).toBe(text);
    },
  );

  it.each(['the weather looks good this morning', 'can you grab me a coffee on the way back'])(
    'takes unrelated words for other speech: %s',
    async (text) => {
      for (const voice of [SLT, AWB]) expect(await words(session, EVENT, text, voice)).toMatch(/^\[unk\]( \[unk\])*$/);
    },
  );

  it('changes from one utterance to the next, and back', async () => {
    expect(await words(session, CUES, 'start the hold')).toBe('start the hold');
    expect(await words(session, READINGS, 'start the hold')).toMatch(/^\[unk\]/);
    expect(await words(session, READINGS, 'primary seven five')).toBe('primary seven five');
    expect(await words(session, CUES, 'start the hold')).toBe('start the hold');
  });
});

describe('a model that cannot be held to whole sentences', { timeout: 600_000 }, () => {
  it.each([
    ['has no word for other speech', { 'graph/words.txt': wordsTable(tinyModelWords()) }, CUES],
    [
      'knows no whole sentence of the step',
      {},
      { ...CUES, jsgf: CUES.jsgf.replace('start the hold | buzzer | valve popped', 'governor buzzer') },
    ],
  ] as const)('is given the list of phrases when it %s', async (_, files, ruleset) => {
    const session = await opened({ ...tinyModelFiles(), ...files });
    expect(await words(session, ruleset, 'start the hold')).toBe('start the hold');
    session.end();
  });
});
