import { createEmbeddedEngine } from '../embedded/recogniser.ts';
import { webModelStore } from '../embedded/store-web.ts';
import { answerFor, type Asked } from './remote-recogniser.ts';

// The module's scope is the worker's: compiled with DOM types for the rest of the app, hence the narrow view of it.
const scope = self as unknown as {
  readonly name: string;
  postMessage(message: unknown): void;
  onmessage: ((event: MessageEvent<Asked>) => void) | null;
};

// The address of its model comes as the worker's name.
const engine = createEmbeddedEngine(webModelStore(scope.name), { askedAbout: 'numbers' });
const take = answerFor(engine, (message) => scope.postMessage(message));
scope.onmessage = (event) => take(event.data);
