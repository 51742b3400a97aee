// A worker thread does not take over the main thread's TypeScript loader: it registers tsx itself.
import { register } from 'tsx/esm/api';

register();
await import('./node-worker.ts');
