// The order matters: `scope` must have changed the worker's globals before the engine's script runs.
import './scope.ts';
import 'vosk-browser/dist/vosk.worker.js';
