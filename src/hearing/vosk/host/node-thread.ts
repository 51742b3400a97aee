// The order matters: first a worker's globals, then ours on top of them, then the engine's script, changed.
import './node-scope.ts';
import './engine-scope.ts';
import '../strict/install.ts';
