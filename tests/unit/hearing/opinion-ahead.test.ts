import { expect, it } from 'vitest';
import { compile } from '../../../src/grammar/compile.ts';
import type { Heard, Recogniser } from '../../../src/hearing/port.ts';
import type { FromWorker, ToWorker } from '../../../src/hearing/worker/hearing-messages.ts';
import { serve } from '../../../src/hearing/worker/serve.ts';
import { loadGrammar } from '../../support/grammar.ts';
import { stepped } from './steps.ts';

const TEXT = 'both one twenty';
/** Ms. */
const END = 1800;

/** An engine that is not sure of what it understands. */
function engine(id: 'vosk' | 'embedded', asked: () => void): Recogniser {
  const words = TEXT.split(' ').map((text) => ({ text, start: 1500, end: END, confidence: 0.75 }));
  const span = { start: 1500, end: END, rejected: false, clip: new Float32Array(4800) };
  const heard: Heard = { engine: id, words, text: TEXT, confidence: 0.75, ...span };
  const recogniser: Partial<Recogniser> = {
    id,
    load: () => Promise.resolve(),
    setGrammar: () => Promise.resolve(),
    recognise: () => {
      asked();
      return Promise.resolve(heard);
    },
    listen: () =>
      Promise.resolve({
        accept: () => Promise.resolve({ text: '', ended: false }),
        final: () => Promise.resolve({ words, level: () => -20, utterance: () => heard }),
        close: () => undefined,
      }),
  };
  return recogniser as Recogniser;
}

it('asks for the second opinion while the silence still lasts, and once', async () => {
  const heard: Heard[] = [];
  const order: string[] = [];
  let allWorked: () => void = () => undefined;
  const worked = new Promise<void>((resolve) => (allWorked = resolve));
  let ready: () => void = () => undefined;
  const begun = new Promise<void>((resolve) => (ready = resolve));
  const post = (message: FromWorker): void => {
    if (message.type === 'ready') ready();
    if (message.type === 'done') allWorked();
    if (message.type === 'heard') heard.push(message.heard);
    if (message.type === 'heard') order.push('heard');
    if (message.type === 'heard' || message.type === 'clock') queueMicrotask(() => take({ type: 'go' }));
  };
  const take: (message: ToWorker) => void = serve(
    () => engine('vosk', () => undefined),
    post,
    () => engine('embedded', () => order.push('asked')),
  );
  const options = { firstSample: 0, heardUntil: 0, clockUntil: 0, decodeAhead: true };
  take({ type: 'begin', model: '', second: 'embedded', options });
  take({ type: 'listenFor', ruleset: compile(loadGrammar(), ['hold'], 'psi') });
  await begun;
  const sound = stepped([
    [150, 0],
    [30, 30],
    [20, 0],
  ]);
  take({ type: 'sound', samples: sound, rate: 16_000 });
  await worked;
  expect(order).toEqual(['asked']);
  const later = new Promise<void>((resolve) => (allWorked = resolve));
  take({ type: 'sound', samples: stepped([[60, 0]]), rate: 16_000 });
  await later;
  expect(order).toEqual(['asked', 'heard']);
  expect(heard[0]).toMatchObject({ text: TEXT, agreed: true });
});
